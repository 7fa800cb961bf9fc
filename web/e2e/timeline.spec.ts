import { expect, openProgram, shareOf, test, TOOL_COLOURS } from './page';

test('dragging the time line shows what is cut by then', async ({ page, server }) => {
  await openProgram(page, server, 'play-panel-maze.nc');
  const [maze] = TOOL_COLOURS;
  const before = await shareOf(page, maze);
  const slider = page.getByRole('slider', { name: 'Moment of the run' });
  const box = (await slider.boundingBox())!;
  const y = box.y + box.height / 2;
  await page.mouse.move(box.x + 10, y);
  await page.mouse.down();
  await page.mouse.move(box.x + box.width * 0.5, y, { steps: 5 });
  await page.mouse.up();
  await expect(page.getByText(/shown at \d/)).toBeVisible();
  await expect(slider).toHaveAttribute('aria-valuetext', /\d+:\d\d, tool/);
  const after = await shareOf(page, maze);
  expect(before).toBeGreaterThan(0.005);
  expect(after).toBeLessThan(before / 5);

  await slider.press('Home');
  await expect(page.getByText('whole program')).toBeVisible();
  expect(await shareOf(page, maze)).toBeCloseTo(before, 2);
});

test('one tool alone can be looked at', async ({ page, server }) => {
  await openProgram(page, server, 'hive-body.nc');
  const [, slots, outlines] = TOOL_COLOURS;
  const before = await shareOf(page, outlines);
  await page.getByRole('combobox', { name: 'Tools' }).selectOption({ index: 2 });
  expect(await shareOf(page, outlines)).toBeLessThan(before / 5);
  expect(await shareOf(page, slots)).toBeGreaterThan(0.001);
});

test('wheel, keys and buttons move the drawing', async ({ page, server }) => {
  await openProgram(page, server, 'hive-body.nc');
  const scale = page.locator('.scale span');
  const whole = await scale.textContent();
  const drawing = page.getByRole('application');
  await drawing.hover();
  await page.mouse.wheel(0, -600);
  await expect(scale).not.toHaveText(whole!);
  await drawing.press('0');
  await expect(scale).toHaveText(whole!);
  await drawing.press('+');
  await drawing.press('+');
  await drawing.press('+');
  await expect(scale).not.toHaveText(whole!);
  await page.getByRole('button', { name: 'Whole sheet' }).click();
  await expect(scale).toHaveText(whole!);
});

test.describe('with fingers', () => {
  test.use({ hasTouch: true });

  test('two fingers zoom the drawing, one moves it', async ({ page, server }) => {
    await openProgram(page, server, 'hive-body.nc');
    const scale = page.locator('.scale span');
    const whole = await scale.textContent();
    const box = (await page.getByRole('application').boundingBox())!;
    const [x, y] = [box.x + box.width / 2, box.y + box.height / 2];
    const devtools = await page.context().newCDPSession(page);
    const touch = (
      type: 'touchStart' | 'touchMove' | 'touchEnd',
      apart: number,
    ): Promise<unknown> =>
      devtools.send('Input.dispatchTouchEvent', {
        type,
        touchPoints:
          type === 'touchEnd'
            ? []
            : [
                { x: x - apart, y, id: 0 },
                { x: x + apart, y, id: 1 },
              ],
      });
    await touch('touchStart', 30);
    for (const apart of [60, 100, 150]) await touch('touchMove', apart);
    await touch('touchEnd', 0);
    await expect(scale).not.toHaveText(whole!);
    await expect(page.getByRole('region', { name: 'The block that was tapped' })).toHaveCount(0);
  });
});
