export * from './codec.ts';
export * from './errors.ts';
export * from './methods.ts';
export * from './parse.ts';
export type * from './types.ts';
export type * from './wire.ts';
