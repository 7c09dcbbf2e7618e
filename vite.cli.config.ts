// The command line as files that run without the checkout: everything is bundled but the CAD importer, whose wasm is
// found in node_modules. The workers are entries of their own and lie beside the command, as does any shared chunk.
import { defineConfig } from 'vite';

const COMMAND = 'raythread';

export default defineConfig({
  build: {
    ssr: true,
    outDir: 'dist-cli',
    emptyOutDir: true,
    target: 'node20',
    minify: false,
    rolldownOptions: {
      input: {
        [COMMAND]: 'src/cli/main.ts',
        'import-worker': 'src/worker/import-worker.ts',
        'placement-worker': 'src/worker/placement-worker.ts',
      },
      output: {
        format: 'es',
        entryFileNames: '[name].mjs',
        chunkFileNames: '[name].mjs',
        banner: (chunk) => (chunk.isEntry && chunk.name === COMMAND ? '#!/usr/bin/env node\n' : ''),
      },
    },
  },
  ssr: { noExternal: true, external: ['occt-import-js'] },
});
