import { createHash, randomBytes } from 'node:crypto';

/** Bytes of chance in a code and in the token. */
const BYTES = 32;

/**
 * Who is let in. The address of the window can be seen by every user of the machine (it stands in the
 * browser's command line, and `ps` shows that), so it carries a code that opens once. The window trades the
 * code for the token of the run, which is never in an address. A code seen afterwards opens nothing.
 */
export interface Admission {
  /** Goes with every request of a window that was let in. Never part of an address. */
  readonly token: string;
  /** A fresh code for an address. */
  issue(): string;
  /** The token for a code that was issued and not used yet; null for any other text. Uses the code up. */
  admit(code: string): string | null;
}

/** Makes the admission of one run. */
export function admission(): Admission {
  const token = randomBytes(BYTES).toString('hex');
  // Looked up by digest, so that the time of a look-up tells nothing of a code.
  const open = new Set<string>();
  return {
    token,
    issue() {
      const code = randomBytes(BYTES).toString('hex');
      open.add(digest(code));
      return code;
    },
    admit: (code) => (open.delete(digest(code)) ? token : null),
  };
}

function digest(code: string): string {
  return createHash('sha256').update(code).digest('hex');
}
