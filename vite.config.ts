// The page as static files: no request leaves the place it is served from, and the importer's module loads only when a file is read.
import react from '@vitejs/plugin-react';
import { defineConfig } from 'vite';

export default defineConfig({
  root: 'src/app',
  publicDir: '../../public',
  base: './',
  build: { outDir: '../../dist', emptyOutDir: true, target: 'es2023', assetsInlineLimit: 0 },
  worker: { format: 'es' },
  optimizeDeps: { include: ['occt-import-js', 'three', 'three-mesh-bvh'] },
  plugins: [react()],
});
