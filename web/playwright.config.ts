import { existsSync } from 'node:fs';
import { defineConfig } from '@playwright/test';

const BROWSERS = ['/usr/bin/chromium', '/usr/bin/chromium-browser'];

/** Software drawing, nothing asked of any network. */
const FLAGS = [
  '--no-sandbox',
  '--disable-gpu',
  '--disable-quic',
  '--no-first-run',
  '--disable-background-networking',
  '--disable-component-update',
  '--disable-sync',
  '--enable-unsafe-swiftshader',
];

export default defineConfig({
  testDir: 'e2e',
  outputDir: 'test-results',
  timeout: 60_000,
  expect: { timeout: 10_000 },
  forbidOnly: true,
  workers: 2,
  reporter: [['list']],
  use: {
    viewport: { width: 1280, height: 800 },
    locale: 'en-GB',
    launchOptions: {
      executablePath: process.env['CHROMIUM'] ?? BROWSERS.find((path) => existsSync(path)),
      args: FLAGS,
    },
    trace: 'retain-on-failure',
  },
});
