/** The part of verovio this project uses; the package ships no types. */
declare module 'verovio/wasm' {
  export default function createVerovioModule(): Promise<object>;
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
