import { join } from 'node:path';
import { defineConfig, type Plugin } from 'vite';

const ROOT = join(import.meta.dirname, 'src/web');

/** The screens are in English: the component library's own few texts are too, for whatever language, and thirty others stay out. */
const englishTexts: Plugin = {
  name: 'english-texts',
  enforce: 'pre',
  load: (id) => (/\/react-(aria|stately)\/.*\/(?!en-US)[a-z]{2}-[A-Z]{2}\.mjs$/.test(id) ? "export { default } from './en-US.mjs';" : null),
};

/** Two pages: the application, and the load-in sheet for phones, which stays small and works with no signal. */
export default defineConfig({
  root: ROOT,
  publicDir: join(ROOT, 'public'),
  plugins: [englishTexts],
  worker: { format: 'es' },
  build: {
    target: 'es2022',
    assetsDir: 'assets',
    assetsInlineLimit: 0, // the content security policy takes scripts and styles from files alone
    modulePreload: { polyfill: false },
    emptyOutDir: true,
    manifest: 'files.json', // which files a page needs
    rolldownOptions: {
      input: [join(ROOT, 'index.html'), join(ROOT, 'load-in.html')],
      // What all pages share, in few files: left alone it comes in a dozen, and a browser asks for six at a time.
      output: {
        codeSplitting: {
          groups: [
            { name: 'words', test: /src\/web\/(words|units)/ },
            {
              name: 'asking',
              test: /node_modules\/(react|@tanstack|openapi-fetch|use-sync-external-store|wouter)\/|src\/web\/(api\/|live\/(live|touched))/,
            },
            { name: 'parts', test: /src\/web\/parts\/(?!ModalDialog|Views|RowsField|typed-rows|pasted-block)/ },
          ],
        },
      },
    },
  },
});
