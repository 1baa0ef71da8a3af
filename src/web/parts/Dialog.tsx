import type { DialogProps } from './ModalDialog.tsx';
import { Part, partQuery } from './Part.tsx';

export const MODAL_DIALOG = partQuery('dialog', async () => (await import('./ModalDialog.tsx')).ModalDialog);

/** A question in front of the page: keeps the focus inside, gives it back, closes on Escape. */
export const Dialog = ({ isOpen, ...dialog }: DialogProps & { isOpen: boolean }) =>
  isOpen ? <Part of={MODAL_DIALOG}>{(ModalDialog) => <ModalDialog {...dialog} />}</Part> : null;
