import './base.css';
import './shell.css';
import './chord.css';
import './ladder.css';
import './bench.css';
import './transport.css';
import './library.css';
import './pages.css';
