const DAY = new Intl.DateTimeFormat('en-GB', { weekday: 'short', day: 'numeric', month: 'short', year: 'numeric' });
const MOMENT = new Intl.DateTimeFormat('en-GB', { day: 'numeric', month: 'short', hour: '2-digit', minute: '2-digit' });
const CLOCK = new Intl.DateTimeFormat('en-GB', { hour: '2-digit', minute: '2-digit' });

/** In the zone of the person who reads; documents print the venue's. */
export const dayText = (instant: string): string => DAY.format(new Date(instant));
export const clockText = (instant: Date): string => CLOCK.format(instant);
export const momentText = (instant: string): string => MOMENT.format(new Date(instant));
export const stayText = (from: string, to: string): string => `${momentText(from)} – ${momentText(to)}`;
