import { fileURLToPath } from 'node:url';
import react from '@vitejs/plugin-react';
import { defineConfig } from 'vite';

/** Builds the window (renderer/) into build/renderer, which both hosts serve. */
export default defineConfig({
  root: fileURLToPath(new URL('renderer', import.meta.url)),
  base: './',
  plugins: [react()],
  worker: { format: 'es' },
  build: {
    outDir: fileURLToPath(new URL('build/renderer', import.meta.url)),
    emptyOutDir: true,
    target: 'chrome140',
    // Fonts and samples stay files of their own: the content policy allows no data: address.
    assetsInlineLimit: 0,
    chunkSizeWarningLimit: 2000,
  },
});
