import { svelte } from '@sveltejs/vite-plugin-svelte';
import { defineConfig } from 'vite';

// Nothing is inlined: the server's content security policy allows scripts and styles from files only.
export default defineConfig({
  plugins: [svelte()],
  build: {
    target: 'es2020',
    assetsInlineLimit: 0,
    modulePreload: { polyfill: false },
    cssCodeSplit: false,
  },
  server: { proxy: { '/api': process.env['HEADJOINT_URL'] ?? 'http://127.0.0.1:8080' } },
});
