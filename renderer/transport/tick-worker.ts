// Ticks from a worker: the page's own timers are slowed down when the window is hidden.
const PERIOD = 25;
setInterval(() => postMessage(null), PERIOD);
