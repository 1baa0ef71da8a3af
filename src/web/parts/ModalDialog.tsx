import { Dialog as AriaDialog, Heading, Modal, ModalOverlay } from 'react-aria-components';
import type { DialogProps } from './Dialog.tsx';

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
