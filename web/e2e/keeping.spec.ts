import { expect, openProgram, test } from './page';

test('programs are still there after a restart, and what is loaded stays readable meanwhile', async ({
  page,
  server,
}) => {
  await openProgram(page, server, 'entrance-plates.nc');
  await server.stop();
  await page.evaluate(() => dispatchEvent(new Event('offline')));
  await expect(page.getByText('The server does not answer.')).toBeVisible();
  await expect(page.getByRole('heading', { name: 'entrance-plates.nc', level: 1 })).toBeVisible();
  await expect(page.getByRole('slider')).toBeVisible();

  await server.again();
  await expect(page.getByText('The server does not answer.')).toHaveCount(0);
  await page.getByRole('link', { name: 'Programs' }).click();
  await page.getByRole('link', { name: /entrance-plates\.nc/ }).click();
  await expect(page.getByRole('heading', { name: 'entrance-plates.nc', level: 1 })).toBeVisible();
  await page.reload();
  await expect(page.getByRole('slider')).toBeVisible();
});

test('the same file dropped again is the same program', async ({ page, server }) => {
  await openProgram(page, server, 'entrance-plates.nc');
  const first = page.url();
  await openProgram(page, server, 'entrance-plates.nc');
  expect(new URL(page.url()).hash.split('?')[0]).toBe(new URL(first).hash.split('?')[0]);
  await page.getByRole('link', { name: 'Programs' }).click();
  await expect(page.getByRole('link', { name: /entrance-plates\.nc/ })).toHaveCount(1);
});

test('another sheet is another check', async ({ page, server }) => {
  await openProgram(page, server, 'nest-box-set.nc');
  await page.getByRole('combobox', { name: 'Sheet' }).selectOption('birch-9-half');
  await expect(page).toHaveURL(/sheet=birch-9-half/);
  const fit = page.getByRole('navigation').getByRole('button', { name: 'Does it fit?' });
  await expect(fit).toContainText('No: ');
  await page.reload();
  await expect(fit).toContainText('No: ');
});
