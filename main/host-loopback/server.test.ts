import { mkdirSync, writeFileSync } from 'node:fs';
import { type IncomingHttpHeaders, request } from 'node:http';
import { connect } from 'node:net';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { type App, openApp } from '../app/app.ts';
import { testWorks } from '../app/test-works.ts';
import { testFolder, testPorts } from '../library/test-library.ts';
import { BODY_LIMIT } from './guard.ts';
import { type LoopbackHost, startServer } from './server.ts';

let folder: ReturnType<typeof testFolder>;
let app: App;
let host: LoopbackHost;
const log: string[] = [];
/** Every address of the window that was given out. */
const addresses: string[] = [];

beforeAll(async () => {
  folder = testFolder();
  mkdirSync(join(folder.path, 'build', 'renderer', 'assets'), { recursive: true });
  writeFileSync(join(folder.path, 'build', 'renderer', 'index.html'), '<!doctype html>');
  writeFileSync(join(folder.path, 'build', 'renderer', 'assets', 'main.js'), 'export {};');
  writeFileSync(join(folder.path, 'package.json'), '{"secret": true}');
  const opened = await openApp({
    host: 'loopback',
    libraryFile: join(folder.path, 'library.changewright'),
    sample: false,
    log: (line) => log.push(line),
    works: async () => testWorks(),
    ports: testPorts(),
  });
  if (!opened.ok) throw new Error(opened.error.message);
  app = opened.value;
  host = await startServer({
    handlers: app.handlers,
    log: (line) => log.push(line),
    onUsed: (next) => addresses.push(next),
    root: folder.path,
  });
  addresses.push(host.address);
});

afterAll(async () => {
  await host.close();
  await app.close();
  folder.remove();
});

interface Reply {
  readonly status: number;
  readonly headers: IncomingHttpHeaders;
  readonly body: string;
}

/** Sends exactly what is given: no header is added but the length of the body. */
function send(
  method: string,
  path: string,
  headers: Record<string, string>,
  body?: string | Buffer,
): Promise<Reply> {
  return new Promise((resolve, reject) => {
    const [hostname = '', port = ''] = host.door.host.split(':');
    const sent = request({ hostname, port, method, path, headers }, (response) => {
      let text = '';
      response.setEncoding('utf8').on('data', (chunk: string) => {
        text += chunk;
      });
      response.on('end', () =>
        resolve({ status: response.statusCode ?? 0, headers: response.headers, body: text }),
      );
    });
    sent.on('error', reject);
    sent.end(body);
  });
}

/** The headers our own window sends. */
function ours(changes: Record<string, string | null> = {}): Record<string, string> {
  const headers: Record<string, string | null> = {
    host: host.door.host,
    origin: `http://${host.door.host}`,
    'content-type': 'application/json',
    'sec-fetch-site': 'same-origin',
    'x-changewright-token': host.door.token,
    ...changes,
  };
  return Object.fromEntries(
    Object.entries(headers).filter((entry): entry is [string, string] => entry[1] !== null),
  );
}

const ask = (headers: Record<string, string>, body = '{}', method = 'app.info') =>
  send(
    'POST',
    `/contract/${method}`,
    { ...headers, 'content-length': String(Buffer.byteLength(body)) },
    body,
  );

describe('the window over 127.0.0.1', () => {
  it('is at an address that carries 256 bits of chance where no server log sees them', () => {
    expect(addresses[0]).toMatch(/^http:\/\/127\.0\.0\.1:\d+\/#open=[0-9a-f]{64}$/u);
  });

  it('never has the token in an address: any user of the machine can read a command line', () => {
    expect(addresses.join()).not.toContain(host.door.token);
  });

  it('is answered with its page and a policy that lets nothing in from elsewhere', async () => {
    const page = await send('GET', '/', { host: host.door.host });
    expect([page.status, page.body]).toEqual([200, '<!doctype html>']);
    expect(page.headers).toMatchObject({
      'content-type': 'text/html; charset=utf-8',
      'x-content-type-options': 'nosniff',
      'cache-control': 'no-store',
      'referrer-policy': 'no-referrer',
    });
    expect(page.headers['content-security-policy']).toContain("default-src 'none'");
    expect(page.headers['content-security-policy']).toContain("frame-ancestors 'none'");
    expect(Object.keys(page.headers).filter((name) => name.startsWith('access-control'))).toEqual(
      [],
    );
  });

  it.each([
    '/package.json',
    '/../package.json',
    '/%2e%2e/package.json',
    '/none.js',
    '/assets',
    '/x.ts',
  ])('does not give out %s', async (path) => {
    const reply = await send('GET', path, { host: host.door.host });
    expect([reply.status, reply.body.includes('secret')]).toEqual([404, false]);
  });

  it('answers the contract for its own window', async () => {
    const reply = await ask(ours());
    expect(reply.status).toBe(200);
    expect(JSON.parse(reply.body)).toMatchObject({ ok: true, value: { host: 'loopback' } });
  });
});

describe('the code in an address', () => {
  const enter = (body: string, changes: Record<string, string | null> = {}) => {
    const length = { 'content-length': String(Buffer.byteLength(body)) };
    const headers = ours({ 'x-changewright-token': null, ...changes });
    return send('POST', '/admission', { ...headers, ...length }, body);
  };
  const newestCode = () => /#open=([0-9a-f]+)$/u.exec(addresses.at(-1) ?? '')?.[1] ?? '';

  it('lets one window in, once, and is followed by another address for the next', async () => {
    const code = newestCode();
    const first = await enter(JSON.stringify({ code }));
    expect([first.status, JSON.parse(first.body)]).toEqual([200, { token: host.door.token }]);
    const again = await enter(JSON.stringify({ code }));
    expect([again.status, JSON.parse(again.body).error.code]).toEqual([403, 'contract/forbidden']);
    expect(JSON.parse(again.body).error.message).toContain('its address was used before');
    expect(newestCode()).not.toBe(code);
    expect((await enter(JSON.stringify({ code: newestCode() }))).status).toBe(200);
  });

  it.each([
    ['made up', JSON.stringify({ code: '0'.repeat(64) })],
    ['empty', JSON.stringify({ code: '' })],
    ['a number', JSON.stringify({ code: 1 })],
    ['missing', '{}'],
    ['not in JSON', 'hello'],
  ])('that is %s lets nobody in and uses nothing up', async (_what, body) => {
    const before = addresses.length;
    expect((await enter(body)).status).toBe(403);
    expect(addresses).toHaveLength(before);
  });

  it.each([
    ['another page', { origin: 'https://evil.example' }],
    ['another site', { 'sec-fetch-site': 'cross-site' }],
    ['another name of this machine', { host: 'localhost' }],
  ])('is not taken from %s, and stays good for its window', async (_what, changes) => {
    const body = JSON.stringify({ code: newestCode() });
    expect((await enter(body, changes)).status).toBe(403);
    expect((await enter(body)).status).toBe(200);
  });

  it('is not itself a token', async () => {
    expect((await ask(ours({ 'x-changewright-token': newestCode() }))).status).toBe(403);
  });
});

describe('a stranger', () => {
  it.each([
    ['another host name', { host: 'evil.example' }],
    ['localhost by name', { host: 'localhost' }],
    ['the host without its port', { host: '127.0.0.1' }],
    ['another origin', { origin: 'https://evil.example' }],
    ['a sandboxed origin', { origin: 'null' }],
    ['no origin', { origin: null }],
    ['a fetch from another site', { 'sec-fetch-site': 'cross-site' }],
    ['a fetch from another port', { 'sec-fetch-site': 'same-site' }],
    ['no token', { 'x-changewright-token': null }],
    ['a wrong token', { 'x-changewright-token': '0'.repeat(64) }],
    ['part of the token', { 'x-changewright-token': 'short' }],
  ])('with %s is refused', async (_what, changes) => {
    const reply = await ask(ours(changes));
    expect(reply.status).toBe(403);
    expect(JSON.parse(reply.body)).toMatchObject({ error: { code: 'contract/forbidden' } });
  });

  it('cannot load the page under another name either', async () => {
    expect((await send('GET', '/', { host: 'evil.example' })).status).toBe(403);
    const crossSite = { host: host.door.host, 'sec-fetch-site': 'cross-site' };
    expect((await send('GET', '/', crossSite)).status).toBe(403);
  });

  it.each([
    ['text', 415, { 'content-type': 'text/plain' }],
    ['a form', 415, { 'content-type': 'application/x-www-form-urlencoded' }],
    ['no type', 415, { 'content-type': null }],
  ])('sending %s is told the type', async (_what, status, changes) => {
    expect((await ask(ours(changes))).status).toBe(status);
  });

  it.each(['GET', 'PUT', 'DELETE', 'OPTIONS'])('cannot %s the contract', async (method) => {
    const reply = await send(method, '/contract/app.info', ours());
    expect(reply.status).toBe(405);
    expect(reply.headers['access-control-allow-origin']).toBeUndefined();
  });

  it('cannot post to a file', async () => {
    expect((await send('POST', '/', { ...ours(), 'content-length': '2' }, '{}')).status).toBe(405);
  });

  it('is cut off when it asks for another protocol', async () => {
    const [hostname = '', port = ''] = host.door.host.split(':');
    const socket = connect(Number(port), hostname);
    const ended = new Promise<string>((resolve) => {
      let text = '';
      socket.on('data', (chunk) => {
        text += chunk.toString();
      });
      socket.on('close', () => resolve(text));
      socket.on('error', () => undefined);
    });
    socket.write(
      `GET / HTTP/1.1\r\nHost: ${host.door.host}\r\nConnection: Upgrade\r\nUpgrade: websocket\r\n\r\n`,
    );
    expect(await ended).toBe('');
  });
});

describe('a bad request', () => {
  it.each([
    ['no JSON', 'hello'],
    ['half of it', '{"a":'],
    ['nothing', ''],
    ['bytes of no text', '\u0000\ufffd'],
  ])('of %s is an error, not a crash', async (_what, body) => {
    const reply = await ask(ours(), body);
    expect(JSON.parse(reply.body)).toMatchObject({
      ok: false,
      error: { code: 'contract/request' },
    });
  });

  it.each(['', '..', 'constructor', 'tunes.list/../app.info', 'tunes%2elist'])(
    'for the method %j is an error',
    async (method) => {
      const reply = await ask(ours(), '{}', method);
      expect(JSON.parse(reply.body)).toMatchObject({ ok: false });
    },
  );

  it('of more than may be carried is refused by its length, before it is read', async () => {
    const headers = { ...ours(), 'content-length': String(BODY_LIMIT + 1) };
    const reply = await send('POST', '/contract/tunes.import', headers, Buffer.alloc(10));
    expect([reply.status, JSON.parse(reply.body).error.code]).toEqual([413, 'contract/too-large']);
  });

  it('with a ten-megabyte file is taken in whole and answered', async () => {
    const base64 = Buffer.alloc(10_000_000, 0x41).toString('base64');
    const body = JSON.stringify({ files: [{ name: 'noise.tune', base64 }] });
    const reply = await ask(ours(), body, 'tunes.import');
    expect(JSON.parse(reply.body)).toMatchObject({
      ok: true,
      value: { imported: [], failed: [{ file: 'noise.tune' }] },
    });
  });

  it('never puts the token or a code into the log', () => {
    expect(log.join('\n')).not.toContain(host.door.token);
    expect(log.join('\n')).not.toMatch(/[0-9a-f]{64}/u);
  });
});
