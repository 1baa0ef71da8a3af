import { Dialog as AriaDialog, Heading, Modal, ModalOverlay } from 'react-aria-components';
import type { ReactNode } from 'react';

export type DialogProps = {
  title: string;
  onClose: () => void;
  /** Much is typed in it: a click beside it does not close it. */
  holdsWork?: boolean;
  children: ReactNode;
};

/** What `Dialog` opens: it brings the part of the component library that only dialogs need. */
export function ModalDialog({ title, onClose, holdsWork = false, children }: DialogProps) {
  return (
    <ModalOverlay className="veil" isOpen onOpenChange={(open) => !open && onClose()} isDismissable={!holdsWork}>
      <Modal>
        <AriaDialog className="dialog stack">
          <Heading slot="title" level={2}>
            {title}
          </Heading>
          {children}
        </AriaDialog>
      </Modal>
    </ModalOverlay>
  );
}
