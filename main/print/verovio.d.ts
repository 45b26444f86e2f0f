/** The part of verovio this project uses; the package ships no types. */
declare module 'verovio/wasm' {
  export default function createVerovioModule(hooks: {
    /** Takes each line the module would write to the terminal. */
    readonly print: (line: string) => void;
    readonly printErr: (line: string) => void;
  }): Promise<object>;
}
declare module 'verovio/esm' {
  export class VerovioToolkit {
    constructor(module: object);
    setOptions(options: Readonly<Record<string, string | number | boolean>>): void;
    loadData(data: string): boolean | number;
    getPageCount(): number;
    renderToSVG(page: number): string;
    getVersion(): string;
  }
}
