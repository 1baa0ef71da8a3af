export const SpacePage = (_: { spaceId: string }) => null;
