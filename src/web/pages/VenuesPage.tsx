export const VenuesPage = () => null;
