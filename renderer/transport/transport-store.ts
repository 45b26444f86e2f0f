import { create } from 'zustand';
import type { Performance } from '../../shared-core/performance/model.ts';
import type { Ticks } from '../../shared-core/time/meter.ts';
import { say } from '../common/said.tsx';
import type { Run } from './player.ts';
import type { Stretch } from './schedule.ts';
import type { Sound } from './sound.ts';

/** What is to be heard: a performance, a stretch of it, and where on the ladder its ticks stand. */
export interface Scene {
  readonly performance: Performance;
  readonly stretch: Stretch;
  /** Place on the ladder of a tick of the performance; null during the count-in. */
  readonly placeOf: (tick: Ticks) => LadderPlace | null;
}

/** A chorus, counted from 0, and a tick of it. */
export interface LadderPlace {
  readonly chorus: number;
  readonly at: Ticks;
}

/** What sounds now. */
export interface Sounding {
  /** Words for the transport: `Before`, `After: Backdoor`, `Chorus 2`. */
  readonly name: string;
  place(): LadderPlace | null;
}

interface TransportStore {
  readonly sounding: Sounding | null;
  readonly loading: boolean;
  /** Counted beats a minute chosen here; null plays as the arrangement says. Practice only: nothing is kept. */
  readonly tempo: number | null;
  readonly loop: boolean;
  readonly muted: ReadonlySet<string>;
  play(name: string, scene: Promise<Scene>): Promise<void>;
  stop(): void;
  setTempo(tempo: number | null): void;
  setLoop(loop: boolean): void;
  toggleMuted(chair: string): void;
}

let sound: Promise<Sound> | null = null;
let run: Run | null = null;
let asked = 0;

function openSound(): Promise<Sound> {
  // Loaded at the first note: most of what people do here is silent.
  sound ??= import('./sound.ts').then((module) => new module.Sound());
  return sound;
}

/** Everything about sound: what plays, how fast, and who is silent. */
export const useTransport = create<TransportStore>()((set, get) => ({
  sounding: null,
  loading: false,
  tempo: null,
  loop: false,
  muted: new Set(),
  async play(name, making) {
    get().stop();
    asked += 1;
    const mine = asked;
    set({ loading: true });
    try {
      const [scene, band, { startRun }] = await Promise.all([
        making,
        openSound(),
        import('./player.ts'),
      ]);
      await band.prepare(scene.performance.tracks);
      if (mine !== asked) return;
      run = startRun(band, scene.performance, {
        stretch: scene.stretch,
        quarterBpm: scene.performance.quarterBpm,
        loop: get().loop,
        muted: (chair) => get().muted.has(chair),
        onEnd: () => {
          if (mine === asked) set({ sounding: null });
        },
      });
      const current = run;
      set({ sounding: soundingOf(name, scene, current), loading: false });
    } catch (error) {
      if (mine !== asked) return;
      set({ loading: false, sounding: null });
      say(
        `No sound: ${error instanceof Error ? error.message : 'the audio device did not answer'}.`,
      );
    }
  },
  stop() {
    asked += 1;
    run?.stop();
    run = null;
    set({ sounding: null, loading: false });
  },
  setTempo(tempo) {
    set({ tempo });
  },
  setLoop(loop) {
    set({ loop });
    run?.setLoop(loop);
  },
  toggleMuted(chair) {
    const muted = new Set(get().muted);
    if (!muted.delete(chair)) muted.add(chair);
    set({ muted });
  },
}));

/** Changes the speed of what sounds now, in quarters a minute. */
export function changeSpeed(quarterBpm: number): void {
  run?.setTempo(quarterBpm);
}

function soundingOf(name: string, scene: Scene, current: Run): Sounding {
  return {
    name,
    place() {
      const at = current.position();
      return at === null ? null : scene.placeOf(at);
    },
  };
}
