/** One question about how well the program does its work, asked of material from outside. */
export interface Evaluation {
  readonly name: string;
  /** Where the material comes from. */
  readonly source: string;
  /** Why it cannot be asked here, such as material that is not there; nothing when it can. */
  readonly unavailable?: () => string | undefined;
  readonly run: () => readonly Measure[] | Promise<readonly Measure[]>;
}

/** A count of right answers. */
export interface Measure {
  readonly what: string;
  readonly right: number;
  readonly of: number;
  /** A few of the wrong answers, in words, to be looked at. */
  readonly wrong?: readonly string[];
}
