import type { ReactNode } from 'react';
import type { ContractError } from '../../shared-core/contract/index.ts';

/** Something went wrong: the sentence, and what can be done here. */
export function ErrorNotice({
  error,
  onAgain,
  onDismiss,
}: {
  readonly error: Pick<ContractError, 'message' | 'retry'>;
  readonly onAgain?: (() => void) | undefined;
  readonly onDismiss?: () => void;
}) {
  return (
    <div className="notice notice-error" role="alert">
      <p>{error.message}</p>
      {onAgain && (
        <button type="button" className="button-ruled" onClick={onAgain}>
          Try again
        </button>
      )}
      {onDismiss && (
        <button type="button" onClick={onDismiss}>
          Put away
        </button>
      )}
    </div>
  );
}

/** Says that an answer is on its way. Shown only where nothing else can be shown yet. */
export function Waiting({ what }: { readonly what: string }) {
  return (
    <div className="waiting" role="status">
      {what}
      <span className="waiting-line" aria-hidden="true" />
    </div>
  );
}

/** An empty place: what would stand here, and how to fill it. */
export function Nothing({ children }: { readonly children: ReactNode }) {
  return <div className="nothing">{children}</div>;
}
