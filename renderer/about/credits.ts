/** One work this program stands on. */
export interface Credit {
  readonly what: string;
  readonly by: string;
  readonly licence: string;
}

/** Works that ship with the window, with their makers and licences. */
export const CREDITS: readonly Credit[] = [
  {
    what: 'Sampled guitar, double bass, piano, saxophone and trumpet',
    by: 'N. Brosowsky, tonejs-instruments, from recordings of several makers; packaged by Makefully Studios',
    licence: 'CC BY 3.0; not changed',
  },
  { what: 'Source Sans 3', by: 'Adobe', licence: 'SIL Open Font License 1.1' },
  {
    what: 'Bravura and Bravura Text',
    by: 'Steinberg Media Technologies',
    licence: 'SIL Open Font License 1.1',
  },
  { what: 'Verovio', by: 'RISM Digital Center', licence: 'LGPL 3.0' },
  { what: 'Tone.js', by: 'Yotam Mann', licence: 'MIT' },
  { what: 'React', by: 'Meta Platforms and contributors', licence: 'MIT' },
  { what: 'Zustand', by: 'Paul Henschel and contributors', licence: 'MIT' },
  { what: 'Zod', by: 'Colin McDonnell and contributors', licence: 'MIT' },
];
