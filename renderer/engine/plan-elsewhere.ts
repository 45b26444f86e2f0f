import type { PlanAnswer, PlanMessage } from './plan-worker.ts';

/** A planner that works beside the window for as long as somebody looks at its plans. */
export interface Planner {
  /** Asks for a plan. While one is being made only the latest wish waits; those between are forgotten. */
  wish(message: PlanMessage): void;
  /** Ends it; it answers nothing more. */
  close(): void;
}

/**
 * Starts a planner. The engine is loaded once, so that turning a knob waits for the plan alone.
 *
 * @param onPlan called with each plan and the wish it fulfils
 * @param onFault called with a sentence when a plan could not be made; the next wish starts afresh
 */
export function startPlanner(
  onPlan: (plan: PlanAnswer, wish: PlanMessage) => void,
  onFault: (sentence: string) => void,
): Planner {
  let worker: Worker | null = null;
  let doing: PlanMessage | null = null;
  let next: PlanMessage | null = null;

  function begin(message: PlanMessage): void {
    worker ??= newWorker();
    doing = message;
    worker.postMessage(message);
  }

  function newWorker(): Worker {
    const made = new Worker(new URL('./plan-worker.ts', import.meta.url), { type: 'module' });
    made.onmessage = ({ data }: MessageEvent<PlanAnswer>) => {
      const done = doing;
      const wanted = next;
      doing = null;
      next = null;
      if (wanted) begin(wanted);
      else if (done) onPlan(data, done);
    };
    made.onerror = (event) => {
      close();
      onFault(event.message || 'the planner did not answer');
    };
    return made;
  }

  function close(): void {
    worker?.terminate();
    worker = null;
    doing = null;
    next = null;
  }

  return {
    wish(message) {
      if (doing) next = message;
      else begin(message);
    },
    close,
  };
}
