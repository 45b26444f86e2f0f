import type { Band } from '../../shared-core/arrangement/band.ts';

/** A band of five for tests and benches: two that comp, two soloists, a bass. */
export const TEST_BAND: Band = {
  id: 'band',
  name: 'Test band',
  chairs: [
    { id: 'guitar', name: 'Guitar', instrument: 'guitar', role: 'comping', order: 0 },
    { id: 'piano', name: 'Piano', instrument: 'piano', role: 'comping', order: 1 },
    { id: 'tenor', name: 'Tenor saxophone', instrument: 'tenor-sax', role: 'soloist', order: 2 },
    { id: 'trumpet', name: 'Trumpet', instrument: 'trumpet-bb', role: 'soloist', order: 3 },
    { id: 'bass', name: 'Double bass', instrument: 'double-bass', role: 'bass', order: 4 },
  ],
};
