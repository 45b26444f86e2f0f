import type { Chair } from '../../shared-core/arrangement/band.ts';
import { chorusesInOrder } from '../../shared-core/arrangement/fold.ts';
import type { Answer } from '../../shared-core/contract/errors.ts';
import type { ChartOptions, ExportFormat } from '../../shared-core/contract/types.ts';
import type { PerformOptions } from '../../shared-core/performance/stage.ts';
import { type AppContext, type OpenArrangement, openArrangement } from './context.ts';
import { failure, success } from './failures.ts';
import { type MadeFile, MEDIA_TYPES, safeName } from './files.ts';
import type { JobStep } from './jobs.ts';
import type { ChartInput, Works } from './works.ts';

/** The SVG pages of one chair's chart. */
export async function previewChart(
  context: AppContext,
  arrangementId: string,
  chairId: string,
  options: ChartOptions,
): Promise<Answer<{ readonly pages: string[]; readonly title: string }>> {
  const open = openArrangement(context, arrangementId);
  if (!open.ok) return open;
  const chair = open.value.band.chairs.find((row) => row.id === chairId);
  if (!chair) return noChair(chairId, open.value);
  const works = await context.works();
  const pages = await works.chartSvg(chartInput(context, open.value, chair, options));
  return success({ pages: [...pages], title: `${open.value.known.tune.title}, ${chair.name}` });
}

/** Starts making charts and sound files; answers the job. */
export function startExport(
  context: AppContext,
  arrangementId: string,
  chairs: 'all' | readonly string[],
  formats: readonly ExportFormat[],
  options: ChartOptions,
): Answer<{ readonly job: string }> {
  const open = openArrangement(context, arrangementId);
  if (!open.ok) return open;
  const chosen = chooseChairs(open.value, chairs);
  if (!chosen.ok) return chosen;
  const steps = exportSteps(context, open.value, chosen.value, formats, options);
  const job = context.jobs.start(steps);
  return job.ok ? success({ job: job.value }) : job;
}

/** What an export makes, one step a file or pair of files. */
export function exportSteps(
  context: AppContext,
  open: OpenArrangement,
  chairs: readonly Chair[],
  formats: readonly ExportFormat[],
  options: ChartOptions,
): readonly JobStep[] {
  const charts = chairs.flatMap((chair) => {
    const input = chartInput(context, open, chair, options);
    return formats
      .filter((format) => format !== 'midi')
      .map((format) => chartStep(context, input, format));
  });
  if (!formats.includes('midi')) return charts;
  const bass = options.walkingLine ? { bassAsWritten: true } : {};
  const sounds = soundsFor(open, chairs).map((sound) =>
    soundStep(context, open, { ...sound, options: { ...sound.options, ...bass } }),
  );
  return [...charts, ...sounds];
}

function chartStep(context: AppContext, input: ChartInput, format: 'pdf' | 'musicxml'): JobStep {
  const stem = `${stemOf(input)} - ${safeName(input.chair.name)}`;
  return {
    words: `${input.chair.name}: ${format === 'pdf' ? 'PDF' : 'MusicXML'}`,
    run: async () => {
      const works = await context.works();
      const bytes =
        format === 'pdf'
          ? await works.chartPdf(input)
          : new TextEncoder().encode(await works.chartMusicXml(input));
      return [{ name: `${stem}.${format}`, type: MEDIA_TYPES[format], bytes }];
    },
  };
}

/** A sound file: what it is called after the arrangement, and how it is played. */
interface Sound {
  readonly which: string;
  readonly options: PerformOptions;
}

/**
 * The sound files of an arrangement: the whole band, the band without each chair to play along with, and for
 * practice the whole at half speed, one chorus with an ending, and every chorus to go round (no count-in, so
 * that it joins up with itself).
 */
function soundsFor({ state }: OpenArrangement, chairs: readonly Chair[]): Sound[] {
  const loops = chorusesInOrder(state).map(({ order }) => ({
    which: `chorus ${order + 1} to loop`,
    options: { choruses: { from: order, to: order }, countInBars: 0 },
  }));
  return [
    { which: 'whole band', options: {} },
    ...chairs.map(({ id, name }) => ({
      which: `without ${safeName(name)}`,
      options: { without: id },
    })),
    { which: 'half speed', options: { speed: 0.5 } },
    { which: 'once through', options: { choruses: { from: 0, to: 0 }, ends: true } },
    ...loops,
  ];
}

function soundStep(context: AppContext, open: OpenArrangement, { which, options }: Sound): JobStep {
  const { known, state, band } = open;
  const stem = stemOf({ tune: known.tune, state });
  return {
    words: `MIDI, ${which}`,
    run: async (): Promise<readonly MadeFile[]> => {
      const works: Works = await context.works();
      const bytes = await works.midi({ ...known, state, band, options });
      return [{ name: `${stem} - ${which}.mid`, type: MEDIA_TYPES.midi, bytes }];
    },
  };
}

function stemOf({ tune, state }: Pick<ChartInput, 'tune' | 'state'>): string {
  return `${safeName(tune.title)} - ${safeName(state.head.name)}`;
}

/** Everything a chart of one chair is made of. */
export function chartInput(
  context: AppContext,
  open: OpenArrangement,
  chair: Chair,
  options: ChartOptions,
): ChartInput {
  return {
    ...open.known,
    state: open.state,
    band: open.band,
    chair,
    options,
    version: `version ${open.stored.revision + 1}`,
    date: context.library.now().slice(0, 10),
  };
}

/** The chairs asked for, in score order. Error: `export/chair` with the names there are. */
export function chooseChairs(
  open: OpenArrangement,
  asked: 'all' | readonly string[],
): Answer<readonly Chair[]> {
  if (asked === 'all') return success(open.band.chairs);
  const missing = asked.find((id) => !open.band.chairs.some((chair) => chair.id === id));
  if (missing !== undefined) return noChair(missing, open);
  return success(open.band.chairs.filter((chair) => asked.includes(chair.id)));
}

function noChair(asked: string, open: OpenArrangement): Answer<never> {
  const names = open.band.chairs.map((chair) => chair.name).join(', ');
  return failure('export/chair', `The band has no chair ${asked}; it has ${names}.`, {
    data: { chair: asked },
  });
}
