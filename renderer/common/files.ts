import type { FileContent } from '../../shared-core/contract/index.ts';

/** Bytes of a file as base64, the form in which the contract carries them. */
export async function toBase64(file: Blob): Promise<string> {
  const bytes = new Uint8Array(await file.arrayBuffer());
  let binary = '';
  // In pieces: spreading a whole file would overflow the call stack.
  for (let at = 0; at < bytes.length; at += 0x8000) {
    binary += String.fromCharCode(...bytes.subarray(at, at + 0x8000));
  }
  return btoa(binary);
}

/** A file of the contract as a blob. */
export function toBlob(content: FileContent): Blob {
  const binary = atob(content.base64);
  const bytes = Uint8Array.from(binary, (character) => character.charCodeAt(0));
  return new Blob([bytes], { type: content.type });
}

/** Hands a blob to the person as a download. */
export function download(blob: Blob, name: string): void {
  const address = URL.createObjectURL(blob);
  const link = document.createElement('a');
  link.href = address;
  link.download = name;
  link.click();
  // The download has begun when click returns; the address may go once it was read.
  setTimeout(() => URL.revokeObjectURL(address), 60_000);
}
