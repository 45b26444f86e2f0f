import type { Proposal } from './model.ts';

/**
 * `backdoor.seventh.bar2~b5.1x8`: device, degree, variant and span; readable, and made of nothing but the
 * tune's own places.
 */
export function idAt(
  { device, degree, variant }: Pick<Proposal, 'device' | 'degree' | 'variant'>,
  span: string,
): string {
  return `${device}.${degree}.${variant}~${span}`;
}
