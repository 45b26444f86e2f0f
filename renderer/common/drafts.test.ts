import { beforeEach, expect, it } from 'vitest';
import { forgetDraft, readDraft, writeDraft } from './drafts.ts';
import { freshStorage } from './test-storage.ts';

beforeEach(freshStorage);

it('a draft is what was put by, until it is let go', () => {
  expect(readDraft('tune new')).toBeNull();
  writeDraft('tune new', { text: '| Bb7 |' });
  writeDraft('tune 7', 'another');
  expect(readDraft('tune new')).toEqual({ text: '| Bb7 |' });
  forgetDraft('tune new');
  expect([readDraft('tune new'), readDraft('tune 7')]).toEqual([null, 'another']);
});

it('a draft that is no draft is none, and is not met again', () => {
  localStorage.setItem('changewright-draft x', '{half');
  expect(readDraft('x')).toBeNull();
  expect(localStorage.getItem('changewright-draft x')).toBeNull();
});
