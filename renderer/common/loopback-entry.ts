/** Where the loopback host trades the code of an address for the token of its run. */
const ADMISSION = '/admission';
/** The token's place while the tab lives: a reload is not a second entry. */
const TOKEN_KEY = 'changewright-token';

/** A window that was let in has a token; one that was not has the host's answer why. */
interface Entry {
  readonly token: string;
  readonly refusal: unknown;
}

/**
 * Lets this window in at the loopback host. The address it was opened at carries a code that opens once,
 * because other users of the machine can see addresses; it is traded for the token at the first question.
 * A trade that did not reach the host is tried again at the next question.
 */
export function loopbackEntry(): () => Promise<Entry> {
  const code = takeCode();
  let entered: Promise<Entry> | null = null;
  return () => {
    entered ??= enter(code).catch((thrown: unknown) => {
      entered = null;
      throw thrown;
    });
    return entered;
  };
}

async function enter(code: string | null): Promise<Entry> {
  if (code !== null) {
    const answer = await postJson(ADMISSION, { code });
    if (!isToken(answer)) return { token: '', refusal: answer };
    sessionStorage.setItem(TOKEN_KEY, answer.token);
  }
  return { token: sessionStorage.getItem(TOKEN_KEY) ?? '', refusal: null };
}

function isToken(answer: unknown): answer is { readonly token: string } {
  return (
    typeof answer === 'object' &&
    answer !== null &&
    'token' in answer &&
    typeof answer.token === 'string'
  );
}

/** Takes the code out of the address, so that it is neither bookmarked nor shown. */
function takeCode(): string | null {
  const code = /[#&]open=([^&]+)/u.exec(location.hash)?.[1];
  if (code === undefined) return null;
  const rest = location.hash.replace(/[#&]open=[^&]+/u, '');
  history.replaceState(null, '', location.pathname + location.search + (rest || '#/'));
  return code;
}

/** Asks the host this page was served from. */
export async function postJson(
  path: string,
  body: unknown,
  headers: Readonly<Record<string, string>> = {},
): Promise<unknown> {
  const response = await fetch(path, {
    method: 'POST',
    headers: { 'content-type': 'application/json', ...headers },
    body: JSON.stringify(body),
  });
  return response.json();
}
