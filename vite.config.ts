import { join } from 'node:path';
import { defineConfig } from 'vite';

const ROOT = join(import.meta.dirname, 'src/web');

/** Two pages: the application, and the load-in sheet for phones, which stays small and works with no signal. */
export default defineConfig({
  root: ROOT,
  publicDir: join(ROOT, 'public'),
  worker: { format: 'es' },
  build: {
    target: 'es2022',
    assetsDir: 'assets',
    assetsInlineLimit: 0, // the content security policy takes scripts and styles from files alone
    modulePreload: { polyfill: false },
    emptyOutDir: true,
    rollupOptions: { input: [join(ROOT, 'index.html'), join(ROOT, 'load-in.html')] },
  },
});
