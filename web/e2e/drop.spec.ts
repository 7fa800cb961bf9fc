import { mkdir } from 'node:fs/promises';
import { join } from 'node:path';
import { PICTURES } from './kerfwright';
import { answer, card, expect, openProgram, shareOf, test, TOOL_COLOURS } from './page';

test('a dropped program is drawn, its findings point at block and place', async ({
  page,
  server,
}) => {
  await openProgram(page, server, 'mistakes.nc');
  await expect(card(page, 'Release')).toContainText('Not yet');
  const shares = await Promise.all(TOOL_COLOURS.map((colour) => shareOf(page, colour)));
  expect(Math.max(...shares)).toBeGreaterThan(0.0003);

  await card(page, 'Does it fit?').click();
  await expect(answer(page).getByRole('heading', { level: 2 })).toContainText('travel');
  await expect(answer(page).locator('mark')).toHaveText(/X/);
  await expect(page.locator('.drawing svg g.stop')).not.toHaveCount(0);
  await expect(page.locator('.drawing path.chosen')).toHaveCount(1);

  const other = answer(page).getByRole('button', { name: /stop/ }).first();
  await other.click();
  await expect(page).toHaveURL(/finding=\d+/);
  await expect(answer(page).locator('mark')).toBeVisible();
});

test('a finding opens the program text at its block', async ({ page, server }) => {
  await openProgram(page, server, 'mistakes.nc');
  await card(page, 'Does it fit?').click();
  const place = await answer(page).locator('.head').textContent();
  const line = /line (\d+)/.exec(place ?? '')?.[1] ?? '';
  await answer(page).getByRole('button', { name: 'Show in the program' }).click();
  const chosen = page
    .getByRole('listbox', { name: 'Program text' })
    .getByRole('option', { selected: true });
  await expect(chosen).toContainText(line);
  await expect(chosen.locator('mark')).toBeVisible();
});

test('a tap on a cut shows its block, and a tap on a block its cut', async ({ page, server }) => {
  await openProgram(page, server, 'hive-body.nc');
  const drawing = page.getByRole('application');
  const box = (await drawing.boundingBox())!;
  for (const part of [0.3, 0.34, 0.38, 0.42, 0.46, 0.5]) {
    await page.mouse.click(box.x + box.width * part, box.y + box.height * 0.55);
    if (await page.getByRole('region', { name: 'The block that was tapped' }).isVisible()) break;
  }
  const picked = page.getByRole('region', { name: 'The block that was tapped' });
  await expect(picked).toContainText(/line [\d\u202f]+ · tool \d+/);
  await picked.getByRole('button', { name: 'Text' }).click();
  const rows = page.getByRole('listbox', { name: 'Program text' });
  await expect(rows.getByRole('option', { selected: true })).toBeVisible();
  await rows.getByRole('option').nth(3).click();
  await expect(rows.getByRole('option', { selected: true })).toBeVisible();
});

test('the picture of the page', async ({ page, server }, info) => {
  await openProgram(page, server, 'nest-box-set.nc');
  await page.getByRole('combobox', { name: 'Sheet' }).selectOption('birch-12-offcut');
  await card(page, 'Does it fit?').click();
  await expect(answer(page).getByRole('heading', { level: 2 })).toContainText(
    'beyond the edge of the sheet',
  );
  await page.getByRole('slider').click();
  await page.locator('body').evaluate(() => (document.activeElement as HTMLElement).blur());

  const update = process.env['KERFWRIGHT_PICTURES'] === '1';
  const path = update ? join(PICTURES, 'page.png') : info.outputPath('page.png');
  if (update) await mkdir(PICTURES, { recursive: true });
  await page.screenshot({ path, animations: 'disabled' });
});
