/** A new id for a record this window makes; sorts by time of making. */
export function newId(prefix: string): string {
  return `${prefix}${Date.now().toString(36)}${crypto.randomUUID().slice(0, 8)}`;
}
