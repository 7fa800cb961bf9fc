import { dropBytes, expect, openProgram, test } from './page';

const alert = { timeout: 5000 };

test('a file that is no program is refused in words, and nothing else is lost', async ({
  page,
  server,
}) => {
  await openProgram(page, server, 'entrance-plates.nc');
  await dropBytes(
    page,
    'picture.png',
    Buffer.from([0x89, 0x50, 0x4e, 0x47, 0, 1, 2, 3, 4, 5, 6, 7]),
  );
  await expect(page.getByRole('alert')).toContainText('picture.png: the file is not text', alert);
  await dropBytes(page, 'empty.nc', Buffer.alloc(0));
  await expect(page.getByRole('alert')).toContainText('empty.nc: the file is empty', alert);
  await expect(page.getByRole('alert')).toHaveCount(1);
  await expect(page.getByRole('heading', { name: 'entrance-plates.nc', level: 1 })).toBeVisible();
  await page.getByRole('button', { name: 'Dismiss' }).click();
  await expect(page.getByRole('alert')).toHaveCount(0);
});

test('a file that is too large is refused with what to do', async ({ page, server }) => {
  await page.route('**/api/v1/programs?name=*', (route) =>
    route.fulfill({
      status: 413,
      json: { error: { what: 'huge.nc is larger than 500 MB', help: 'split the program' } },
    }),
  );
  await page.goto(server.address);
  await dropBytes(page, 'huge.nc', Buffer.from('M30\n'));
  await expect(page.getByRole('alert')).toContainText('huge.nc is larger than 500 MB');
  await expect(page.getByRole('alert')).toContainText('split the program');
});

test('a server that fails says so and can be asked again', async ({ page, server }) => {
  await page.goto(server.address);
  await page.route('**/report?*', (route) => route.fulfill({ status: 500, body: 'broken' }));
  await dropBytes(page, 'a.nc', Buffer.from('G21 G17 G90\nM30\n'));
  await expect(page.getByRole('alert')).toContainText('The server could not do this.');
  await page.unroute('**/report?*');
  await page.getByRole('button', { name: 'Try again' }).click();
  await expect(page.getByRole('alert')).toHaveCount(0);
});

test('an address of a program that is not kept says so', async ({ page, server }) => {
  await page.goto(`${server.address}#/program/4711`);
  await expect(page.getByRole('alert')).toBeVisible();
});

test('a program that moves nothing, comments of older editors and a long line are shown', async ({
  page,
  server,
}) => {
  await page.goto(server.address);
  const long = `(${'x'.repeat(5000)})`;
  await dropBytes(
    page,
    'odd.nc',
    Buffer.from(`G21 G17 G90\r\n(Gr\xf6\xdfe)\r\n${long}\r\nM30\r\n`, 'latin1'),
  );
  await expect(page.getByText('moves nothing that could be drawn')).toBeVisible();
  await page.getByRole('button', { name: 'Text', exact: true }).click();
  const rows = page.getByRole('listbox', { name: 'Program text' }).getByRole('option');
  await expect(rows.nth(1)).toContainText('(Größe)');
  await expect(rows.nth(2)).toContainText('more characters');
});
