import { DEMO_PASSWORD, DEMO_SIGN_INS } from './load.ts';

/** What a newcomer sees at the start: who to be, and what to try. */
export function demoGreeting(publicUrl: string): string {
  const widest = Math.max(...DEMO_SIGN_INS.map(({ email }) => email.length));
  return [
    '',
    'The demonstration is loaded: an invented arena, ballroom and theatre, two productions, a tour of three shows.',
    `Everybody signs in with the password "${DEMO_PASSWORD}":`,
    ...DEMO_SIGN_INS.map(({ email, who }) => `  ${email.padEnd(widest)}  ${who}`),
    '',
    `Read and try every operation:   ${publicUrl}/api/docs`,
    `From published points to a yes: the walk-through in README.md, with curl`,
    '',
    'What is computed here does not replace a competent person, a structural engineer or the law of the place.',
  ].join('\n');
}
