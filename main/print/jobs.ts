import type { Part } from '../../shared-core/parts/model.ts';
import { layOut } from './layout.ts';
import type { PrintOptions } from './options.ts';
import type { Scene } from './scene.ts';
import { layOutSetSheet, type SetSheet } from './set-sheet.ts';
import { PdfWriter } from './to-pdf.ts';
import { toSvg } from './to-svg.ts';

/** What can be asked of the printer. */
export type PrintRequest =
  | { readonly kind: 'svg'; readonly part: Part; readonly options: PrintOptions }
  | {
      readonly kind: 'pdf';
      readonly title: string;
      readonly author: string;
      readonly sheet: SetSheet | null;
      readonly parts: readonly Part[];
      readonly options: PrintOptions;
    };

/** What the printer gives back. */
export type PrintResult =
  | { readonly kind: 'svg'; readonly pages: string[] }
  | { readonly kind: 'pdf'; readonly bytes: Uint8Array };

/** Called between charts: how far the job is. */
export type PrintStep = (done: number, total: number, title: string) => Promise<void>;

/** Does one job. `step` may throw to end it. */
export async function runPrint(request: PrintRequest, step: PrintStep): Promise<PrintResult> {
  if (request.kind === 'svg')
    return { kind: 'svg', pages: toSvg(await layOut(request.part, request.options)) };
  const { parts, sheet, options } = request;
  const writer = new PdfWriter({
    title: request.title,
    author: request.author,
    subject: parts.length === 1 ? (parts[0]?.head.arrangement ?? '') : `${parts.length} charts`,
    date: dateOf(parts[0]?.head.date ?? null),
  });
  const total = parts.length + (sheet ? 1 : 0);
  let done = 0;
  if (sheet) {
    writer.add({ scene: layOutSetSheet(sheet, options), bookmark: sheet.title });
    await step(++done, total, sheet.title);
  }
  for (const part of parts) {
    const scene: Scene = await layOut(part, options);
    writer.add({ scene, bookmark: bookmarkOf(part, parts) });
    await step(++done, total, part.head.title);
  }
  return { kind: 'pdf', bytes: await writer.bytes() };
}

/** One chart is marked by its title and chair; in a book of one chair the title says it all. */
function bookmarkOf(part: Part, parts: readonly Part[]): string {
  const oneChair = parts.length > 1 && parts.every((other) => other.chairId === part.chairId);
  return oneChair ? part.head.title : `${part.head.title}, ${part.head.chair}`;
}

function dateOf(text: string | null): Date | null {
  return text && /^\d{4}-\d\d-\d\d$/u.test(text) ? new Date(`${text}T00:00:00Z`) : null;
}
