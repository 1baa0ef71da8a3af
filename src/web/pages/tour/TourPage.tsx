export const TourPage = () => null;
