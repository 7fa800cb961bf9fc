import { readFile } from 'node:fs/promises';
import { basename, join } from 'node:path';
import { test as base, expect, type Locator, type Page } from '@playwright/test';
import { Kerfwright, PROGRAMS } from './kerfwright';

interface Fixtures {
  server: Kerfwright;
}

/** Tests with a server of their own, and a page on which no script may fail. */
export const test = base.extend<Fixtures>({
  // oxlint-disable-next-line no-empty-pattern -- the test runner reads which fixtures are wanted from it
  server: async ({}, use) => {
    const server = await Kerfwright.start();
    await use(server);
    await server.end();
  },
  page: async ({ page }, use) => {
    const faults: string[] = [];
    page.on('pageerror', (error) => faults.push(String(error)));
    await use(page);
    expect(faults).toEqual([]);
  },
});

export { expect };

/** Drops a demo program on the page, as from a file manager. */
export async function drop(page: Page, name: string): Promise<void> {
  await dropBytes(page, basename(name), await readFile(join(PROGRAMS, name)));
}

export async function dropBytes(page: Page, name: string, bytes: Buffer): Promise<void> {
  const transfer = await page.evaluateHandle(
    ([file, base64]) => {
      const data = Uint8Array.from(atob(base64), (c) => c.charCodeAt(0));
      const carried = new DataTransfer();
      carried.items.add(new File([data], file));
      return carried;
    },
    [name, bytes.toString('base64')] as const,
  );
  for (const type of ['dragenter', 'dragover', 'drop']) {
    await page.dispatchEvent('body', type, { dataTransfer: transfer });
  }
}

/** Opens the page, drops a demo program and waits for the verdict and the drawing. */
export async function openProgram(page: Page, server: Kerfwright, name: string): Promise<void> {
  await page.goto(server.address);
  await drop(page, name);
  await expect(page.getByRole('heading', { name, level: 1 })).toBeVisible();
  await expect(card(page, 'Release')).not.toContainText('…');
  await expect(page.getByText('Drawing …')).toHaveCount(0);
  await expect(page.getByRole('slider')).toBeVisible();
}

export function card(page: Page, question: string): Locator {
  return page.getByRole('navigation').getByRole('button', { name: question });
}

export function answer(page: Page): Locator {
  return page.locator('#answer');
}

/** Share of the drawing's pixels that have about this colour, `#rrggbb`. */
export async function shareOf(page: Page, colour: string): Promise<number> {
  const shot = await page.locator('.drawing').screenshot();
  return page.evaluate(
    async ([base64, hex]) => {
      const bytes = Uint8Array.from(atob(base64), (c) => c.charCodeAt(0));
      const image = await createImageBitmap(new Blob([bytes], { type: 'image/png' }));
      const context = new OffscreenCanvas(image.width, image.height).getContext('2d')!;
      context.drawImage(image, 0, 0);
      const { data } = context.getImageData(0, 0, image.width, image.height);
      const wanted = [1, 3, 5].map((i) => Number.parseInt(hex.slice(i, i + 2), 16));
      let like = 0;
      for (let i = 0; i < data.length; i += 4) {
        if (wanted.every((value, k) => Math.abs(data[i + k] - value) < 24)) like++;
      }
      return like / (data.length / 4);
    },
    [shot.toString('base64'), colour] as const,
  );
}

/** The colours of the first six tools. */
export const TOOL_COLOURS = ['#0072b2', '#009e73', '#cc79a7', '#e69f00', '#56b4e9', '#d55e00'];
