import { lazy, Suspense, type ReactNode } from 'react';

export type DialogProps = {
  title: string;
  onClose: () => void;
  /** Much is typed in it: a click beside it does not close it. */
  holdsWork?: boolean;
  children: ReactNode;
};

const ModalDialog = lazy(() => import('./ModalDialog.tsx').then((dialog) => ({ default: dialog.ModalDialog })));

/** A question in front of the page: keeps the focus inside, gives it back, closes on Escape. Its code is fetched when the first is opened. */
export const Dialog = ({ isOpen, ...dialog }: DialogProps & { isOpen: boolean }) =>
  isOpen ? (
    <Suspense fallback={null}>
      <ModalDialog {...dialog} />
    </Suspense>
  ) : null;
