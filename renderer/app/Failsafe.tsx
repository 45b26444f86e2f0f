import { Component, type ReactNode } from 'react';

/** Catches a fault of one screen, so that the window stays and says what can be done. */
export class Failsafe extends Component<
  { readonly children: ReactNode },
  { readonly fault: Error | null }
> {
  override state: { readonly fault: Error | null } = { fault: null };

  static getDerivedStateFromError(fault: Error): { readonly fault: Error } {
    return { fault };
  }

  override render(): ReactNode {
    const { fault } = this.state;
    if (!fault) return this.props.children;
    return (
      <div className="page">
        <div className="page-inner">
          <div className="notice notice-error" role="alert">
            <p>
              This screen broke off ({fault.message}). Everything you decided is kept in the
              library.
            </p>
            <button type="button" className="button-ruled" onClick={() => location.reload()}>
              Open it again
            </button>
          </div>
        </div>
      </div>
    );
  }
}
