import type { ReactNode } from 'react';
import { Dialog as AriaDialog, Heading, Modal, ModalOverlay } from 'react-aria-components';

type Props = {
  title: string;
  isOpen: boolean;
  onClose: () => void;
  /** Much is typed in it: a click beside it does not close it. */
  holdsWork?: boolean;
  children: ReactNode;
};

/** A question in front of the page: keeps the focus inside, gives it back, closes on Escape. */
export function Dialog({ title, isOpen, onClose, holdsWork = false, children }: Props) {
  return (
    <ModalOverlay className="veil" isOpen={isOpen} onOpenChange={(open) => !open && onClose()} isDismissable={!holdsWork}>
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
