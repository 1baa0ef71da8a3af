export const ProposalPage = (_: { proposalId: string }) => null;
