import { StrictMode } from 'react';
import { createRoot } from 'react-dom/client';
import { config } from 'zod';
import { App } from './app/App.tsx';
import { connect } from './common/client.ts';
import './styles/index.ts';

// The content policy forbids making code from text, which the validator would otherwise try once.
config({ jitless: true });

const root = document.getElementById('root');
if (!root) throw new Error('The page has no place for the window');
createRoot(root).render(
  <StrictMode>
    <App client={connect()} />
  </StrictMode>,
);
