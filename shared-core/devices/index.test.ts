import { existsSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { siteFrom } from '../../tests/support/site.ts';
import { DEVICE_NAMES, type DeviceName } from '../analysis/model.ts';
import { DEVICES, deviceByName } from './index.ts';

describe('the list of devices', () => {
  test('holds every device of the contract once, in its order', () => {
    expect(DEVICES.map((device) => device.name)).toEqual([...DEVICE_NAMES]);
  });

  test.each([...DEVICES])('$name lives in a file of its own and says what it is', (device) => {
    expect(existsSync(new URL(`./${device.name}.ts`, import.meta.url))).toBe(true);
    expect(device.label).toMatch(/^\p{Lu}[\p{Ll} -]+$/u);
    expect(device.definition).toMatch(/\.$/u);
    expect(device.source.length).toBeGreaterThan(20);
    for (const usual of Object.values(device.usual)) {
      expect(usual).toBeGreaterThan(0);
      expect(usual).toBeLessThanOrEqual(1);
    }
    expect(deviceByName(device.name)).toBe(device);
  });

  test('has none under another name', () => {
    expect(() => deviceByName('nothing' as DeviceName)).toThrow('no device nothing');
  });
});

test('the same site gives the same rewrites, in the same order', () => {
  const written = (): string =>
    JSON.stringify(
      DEVICES.map((device) =>
        device.propose(siteFrom('Ab major', '| Abmaj7 | Abmaj7 |', 'Dbmaj7')),
      ),
    );
  expect(written()).toBe(written());
});
