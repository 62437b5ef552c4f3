import { fileURLToPath } from 'node:url';
import react from '@vitejs/plugin-react';
import { defineConfig } from 'electron-vite';

const at = (relative: string): string => fileURLToPath(new URL(relative, import.meta.url));

export default defineConfig({
  main: {
    build: {
      outDir: 'out/main',
      rolldownOptions: {
        input: {
          desktop: at('src/main/desktop/entry.ts'),
          browser: at('src/main/browser/entry.ts'),
          cli: at('src/main/cli/entry.ts'),
          // Workers are entries of their own: left to the bundler, a built worker would not be found (worker-url.ts).
          'engine-worker': at('src/main/engine/engine-worker.ts'),
          'reader-worker': at('src/main/reader/reader-worker.ts'),
        },
        output: { format: 'es', entryFileNames: '[name].js', chunkFileNames: '[name]-[hash].js' },
      },
    },
  },
  preload: {
    build: {
      outDir: 'out/preload',
      // A sandboxed preload can require nothing: one bundled CommonJS file.
      externalizeDeps: false,
      rolldownOptions: {
        input: { preload: at('src/main/desktop/preload.ts') },
        output: { format: 'cjs', entryFileNames: '[name].cjs' },
      },
    },
  },
  renderer: {
    root: at('src/renderer'),
    plugins: [react()],
    build: {
      outDir: at('out/renderer'),
      rolldownOptions: { input: at('src/renderer/index.html') },
    },
  },
});
