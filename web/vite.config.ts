import { svelte } from '@sveltejs/vite-plugin-svelte';
import { defineConfig } from 'vitest/config';

export default defineConfig({
  plugins: [svelte()],
  base: './',
  build: { target: 'es2022', assetsInlineLimit: 0 },
  resolve: process.env['VITEST'] ? { conditions: ['browser'] } : {},
  server: { proxy: { '/api': process.env['KERFWRIGHT_ADDRESS'] ?? 'http://127.0.0.1:8080' } },
  test: {
    environment: 'happy-dom',
    include: ['src/**/*.test.ts'],
  },
});
