/** To the millimetre: what follows from places of points has no end of digits. The value stays as it is until another is typed. */
export const shownM = (lengthM: number): number => Math.round(lengthM * 1000) / 1000;
