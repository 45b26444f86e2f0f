#!/usr/bin/env node
/**
 * The command line in a checkout. The fast way in: when the built program is up to date and this is
 * the pinned Node, it is imported at once, and nothing else is loaded.
 */
import { existsSync } from 'node:fs';
import nodeModule from 'node:module';
import { pathToFileURL } from 'node:url';
import { inRoot, onPinnedNode, startAgainOnPinnedNode } from './environment.mjs';
import { isFresh } from './stamp.mjs';

const PROGRAM = inRoot('build/main/cli.mjs');

if (!onPinnedNode()) {
  const { ensureInstalled } = await import('./install.mjs');
  await ensureInstalled();
  await startAgainOnPinnedNode();
}
if (!existsSync(PROGRAM) || !isFresh('build/stamps/cli.json')) {
  const { ensureInstalled } = await import('./install.mjs');
  await ensureInstalled();
  const { buildProgram } = await import('./build.mjs');
  await buildProgram('cli');
}
nodeModule.enableCompileCache(inRoot('build/compile-cache'));
await import(pathToFileURL(PROGRAM).href);
