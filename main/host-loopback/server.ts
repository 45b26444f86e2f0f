import { once } from 'node:events';
import { readFile } from 'node:fs/promises';
import { createServer, type IncomingMessage, type Server, type ServerResponse } from 'node:http';
import type { AddressInfo } from 'node:net';
import type { Answer, ErrorCode } from '../../shared-core/contract/errors.ts';
import type { ContractHandlers } from '../../shared-core/contract/methods.ts';
import { dispatch } from '../app/dispatch.ts';
import { failure } from '../app/failures.ts';
import type { Log } from '../app/faults.ts';
import { WINDOW_HEADERS, windowFile } from '../app/window-files.ts';
import { type Admission, admission } from './admission.ts';
import {
  ADMISSION_PATH,
  BODY_LIMIT,
  type Door,
  NOT_LET_IN,
  type Refusal,
  refusalOf,
  tooLarge,
} from './guard.ts';

/** A running host. */
export interface LoopbackHost {
  /** Where the window can be opened, once: a code stands in its fragment, which no server sees. Never logged. */
  readonly address: string;
  readonly door: Door;
  close(): Promise<void>;
}

/** What a host serves, and whom it tells. */
export interface Served {
  readonly handlers: ContractHandlers;
  readonly log: Log;
  /** Told the next address when one was used. */
  readonly onUsed: (next: string) => void;
  /** Folder that holds the built window; the program's own when left out. */
  readonly root?: string;
}

/**
 * Serves the window and the contract on 127.0.0.1, on a port the system chooses, for whoever was let in
 * (see {@link Admission}). No other interface, no other origin, no path of this machine in any request.
 */
export async function startServer(served: Served): Promise<LoopbackHost> {
  const server = createServer({ headersTimeout: 10_000, requestTimeout: 120_000 });
  server.on('upgrade', (_request, socket) => socket.destroy());
  server.on('clientError', (_error, socket) => socket.destroy());
  server.listen({ host: '127.0.0.1', port: 0 });
  await once(server, 'listening');
  const { port } = server.address() as AddressInfo;
  const entry = admission();
  const door = { host: `127.0.0.1:${port}`, token: entry.token };
  const address = () => `http://${door.host}/#open=${entry.issue()}`;
  const onUsed = () => served.onUsed(address());
  server.on('request', (request, response) => {
    answer({ ...served, door, entry, onUsed }, request, response).catch((thrown: unknown) => {
      served.log(`loopback: ${thrown instanceof Error ? thrown.stack : String(thrown)}`);
      response.destroy();
    });
  });
  return { address: address(), door, close: () => closeServer(server) };
}

interface Run extends Omit<Served, 'onUsed'> {
  readonly door: Door;
  readonly entry: Admission;
  readonly onUsed: () => void;
}

async function answer(run: Run, request: IncomingMessage, response: ServerResponse): Promise<void> {
  const [path = ''] = (request.url ?? '').split('?');
  const head = { method: request.method ?? '', path, headers: request.headers };
  const refusal = refusalOf(head, run.door);
  if (refusal) return refuse(request, response, refusal);
  if (path === ADMISSION_PATH) return answerAdmission(run, request, response);
  if (path.startsWith('/contract/')) return answerContract(run, path, request, response);
  return answerFile(run, path, head.method === 'HEAD', response);
}

/** Lets a window in that has a code nobody has used yet. */
async function answerAdmission(
  { entry, onUsed }: Run,
  request: IncomingMessage,
  response: ServerResponse,
): Promise<void> {
  const body = await readBody(request);
  if (body === null) return refuse(request, response, tooLarge());
  const asked = parseJson(body);
  const token = entry.admit(asked.ok ? codeIn(asked.value) : '');
  if (token === null) return refuse(request, response, { status: 403, message: NOT_LET_IN });
  onUsed();
  send(response, 200, 'application/json', Buffer.from(JSON.stringify({ token })));
}

function codeIn(body: unknown): string {
  const code = typeof body === 'object' && body !== null && 'code' in body ? body.code : null;
  return typeof code === 'string' ? code : '';
}

async function answerContract(
  run: Run,
  path: string,
  request: IncomingMessage,
  response: ServerResponse,
): Promise<void> {
  const body = await readBody(request);
  if (body === null) return refuse(request, response, tooLarge());
  const method = path.slice('/contract/'.length);
  const asked = parseJson(body);
  const said = asked.ok ? await dispatch(run.handlers, run.log, method, asked.value) : asked;
  send(response, 200, 'application/json', Buffer.from(JSON.stringify(said)));
}

async function answerFile(
  run: Run,
  path: string,
  headOnly: boolean,
  response: ServerResponse,
): Promise<void> {
  const found = windowFile(path, run.root);
  const bytes = found ? await readIfThere(found.file) : null;
  if (!found || bytes === null) {
    return send(response, 404, 'text/plain; charset=utf-8', Buffer.from('There is no such file.'));
  }
  response.writeHead(200, {
    ...WINDOW_HEADERS,
    'content-type': found.type,
    'content-length': bytes.byteLength,
  });
  response.end(headOnly ? undefined : bytes);
}

/** The bytes of a file; null when there is none. */
async function readIfThere(file: string): Promise<Buffer | null> {
  try {
    return await readFile(file);
  } catch (thrown) {
    const code = thrown instanceof Error && 'code' in thrown ? thrown.code : null;
    if (code === 'ENOENT' || code === 'EISDIR' || code === 'ENOTDIR') return null;
    throw thrown;
  }
}

/** The whole body; null when more comes than a request may carry, whatever its header said. */
async function readBody(request: IncomingMessage): Promise<Buffer | null> {
  const chunks: Buffer[] = [];
  let size = 0;
  for await (const chunk of request as AsyncIterable<Buffer>) {
    size += chunk.byteLength;
    if (size > BODY_LIMIT) return null;
    chunks.push(chunk);
  }
  return Buffer.concat(chunks);
}

function parseJson(body: Buffer): Answer<unknown> {
  try {
    return { ok: true, value: JSON.parse(body.toString('utf8')) as unknown };
  } catch (thrown) {
    if (!(thrown instanceof SyntaxError)) throw thrown;
    return failure('contract/request', 'The request is not JSON.');
  }
}

/** Answers with the contract's own error, so that the window can say it. The connection is not used again. */
function refuse(request: IncomingMessage, response: ServerResponse, refusal: Refusal): void {
  const code: ErrorCode = refusal.status === 413 ? 'contract/too-large' : 'contract/forbidden';
  response.setHeader('connection', 'close');
  const bytes = Buffer.from(JSON.stringify(failure(code, refusal.message)));
  send(response, refusal.status, 'application/json', bytes);
  request.resume();
}

function send(response: ServerResponse, status: number, type: string, bytes: Buffer): void {
  response.writeHead(status, {
    ...WINDOW_HEADERS,
    'content-type': type,
    'content-length': bytes.byteLength,
  });
  response.end(bytes);
}

async function closeServer(server: Server): Promise<void> {
  const closed = once(server, 'close');
  server.close();
  server.closeAllConnections();
  await closed;
}
