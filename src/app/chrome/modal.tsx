// A dialog of the browser: it keeps the focus, ends with Escape, gives the focus back.
import { type ReactNode, useLayoutEffect, useRef } from 'react';

interface ModalProps {
  readonly name: string;
  readonly className?: string;
  readonly onClose: () => void;
  readonly children: ReactNode;
}

export function Modal({ name, className = '', onClose, children }: ModalProps) {
  const dialog = useRef<HTMLDialogElement>(null);
  // Closed while it still stands in the page: only then does the focus go back.
  useLayoutEffect(() => {
    const element = dialog.current;
    element?.showModal();
    return () => element?.close();
  }, []);
  return (
    // biome-ignore lint/a11y/useKeyWithClickEvents: Escape closes it by itself; a click beside it is an extra.
    <dialog
      ref={dialog}
      className={`dialog ${className}`}
      aria-label={name}
      onCancel={(event) => {
        event.preventDefault();
        onClose();
      }}
      onClick={(event) => {
        if (event.target === event.currentTarget) onClose();
      }}
    >
      <div className="dialog-body">{children}</div>
    </dialog>
  );
}
