// The page as static files: no request leaves the place it is served from, and the importer's module loads only when a file is read.
import react from '@vitejs/plugin-react';
import { defineConfig } from 'vite';
import { occtWithoutEval } from './bundling/occt-without-eval.ts';
import { contentPolicy, filesToKeep, sampleJob } from './bundling/page-files.ts';

const SERVICE_WORKER = 'service-worker';

export default defineConfig({
  root: 'src/app',
  publicDir: '../../public',
  base: './',
  build: {
    outDir: '../../dist',
    emptyOutDir: true,
    target: 'es2023',
    assetsInlineLimit: 0,
    modulePreload: { polyfill: false },
    rolldownOptions: {
      input: { page: 'src/app/index.html', [SERVICE_WORKER]: 'src/app/offline/service-worker.ts' },
      output: {
        entryFileNames: ({ name }) => (name === SERVICE_WORKER ? '[name].js' : 'assets/[name]-[hash].js'),
      },
    },
  },
  worker: { format: 'es', plugins: () => [occtWithoutEval()] },
  optimizeDeps: { include: ['occt-import-js', 'three', 'three-mesh-bvh'] },
  plugins: [
    react(),
    contentPolicy(),
    sampleJob(new URL('sample-parts/', import.meta.url), 'wave-pod.job.json'),
    filesToKeep(`${SERVICE_WORKER}.js`, ['manifest.webmanifest', 'icon.svg', 'icon-192.png', 'icon-512.png']),
  ],
});
