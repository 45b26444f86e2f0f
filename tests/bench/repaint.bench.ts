import { existsSync } from 'node:fs';
import { join } from 'node:path';
import { projectRoot } from '../../main/setup/project-root.ts';
import type { Bench } from './measure.ts';
import { benchRepaint } from './repaint.ts';

const benches: readonly Bench[] = [
  {
    name: 'accept to repaint in the window, 12 choruses of 64 bars',
    budget: 50,
    unavailable: () => {
      if (!existsSync('/usr/bin/chromium')) return 'there is no Chromium here';
      return existsSync(join(projectRoot(), 'build/renderer/index.html'))
        ? undefined
        : 'the window is not built';
    },
    times: async () => (await benchRepaint()).shown,
  },
];

export default benches;
