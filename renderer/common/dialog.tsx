import { type ReactNode, useEffect, useId, useRef } from 'react';

/**
 * A dialog over the window. Built on the page's own modal dialog: Escape closes it, focus stays inside
 * and returns where it was, and it needs no style the content policy would refuse.
 */
export function Dialog({
  title,
  onClose,
  children,
  wide = false,
}: {
  readonly title: string;
  readonly onClose: () => void;
  readonly children: ReactNode;
  readonly wide?: boolean;
}) {
  const box = useRef<HTMLDialogElement>(null);
  const heading = useId();
  useEffect(() => {
    const dialog = box.current;
    const before = document.activeElement;
    dialog?.showModal();
    return () => {
      dialog?.close();
      if (before instanceof HTMLElement) before.focus();
    };
  }, []);
  return (
    <dialog
      ref={box}
      aria-labelledby={heading}
      className={wide ? 'dialog-wide' : undefined}
      onCancel={(event) => {
        event.preventDefault();
        onClose();
      }}
      onKeyDown={(event) => event.stopPropagation()}
    >
      <div className="dialog-head">
        <h2 id={heading}>{title}</h2>
        <button type="button" className="button-narrow" aria-label="Close" onClick={onClose}>
          <Cross />
        </button>
      </div>
      {children}
    </dialog>
  );
}

/** The cross of a closing button. */
function Cross() {
  return (
    <svg className="sign" viewBox="0 0 16 16" aria-hidden="true">
      <path d="M3 3l10 10M13 3L3 13" stroke="currentColor" strokeWidth="1.75" />
    </svg>
  );
}
