/** One step from a library's version to the next. Never edited once released; add another instead. */
export interface Migration {
  /** The library's `user_version` after this step; steps count from 1 without gaps. */
  readonly version: number;
  readonly name: string;
  readonly sql: string;
}
