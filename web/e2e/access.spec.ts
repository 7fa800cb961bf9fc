import AxeBuilder from '@axe-core/playwright';
import type { Page } from '@playwright/test';
import { answer, card, expect, openProgram, test } from './page';

const QUESTIONS = [
  'Does it fit?',
  'Have I the tools?',
  'Will it hold?',
  'Is the cut right?',
  'How long?',
  'Release',
];

async function audit(page: Page): Promise<void> {
  const tags = ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'];
  const { violations } = await new AxeBuilder({ page }).withTags(tags).analyze();
  const found = violations.map(
    (v) => `${v.id}: ${v.nodes.map((n) => n.target.join(' ')).join(', ')}`,
  );
  expect(found).toEqual([]);
}

async function setLook(page: Page, look: string, language = 'en'): Promise<void> {
  const kept = JSON.stringify({ look, language, lengths: 'mm' });
  await page.evaluate((text) => localStorage.setItem('kerfwright-settings', text), kept);
  await page.reload();
}

test('no view breaks the accessibility rules', async ({ page, server }) => {
  test.slow();
  await page.goto(server.address);
  await expect(page.getByText('No program is kept here yet.')).toBeVisible();
  await audit(page);
  await openProgram(page, server, 'mistakes.nc');
  for (const question of QUESTIONS) {
    await card(page, question).click();
    await audit(page);
  }
  await page.getByRole('button', { name: 'Text', exact: true }).click();
  await expect(page.getByRole('listbox').getByRole('option').first()).toBeVisible();
  await audit(page);
  await page.getByRole('button', { name: 'Settings' }).click();
  await audit(page);
  await page.keyboard.press('Escape');
  await page.getByRole('link', { name: 'Programs' }).click();
  await expect(page.getByRole('link', { name: /mistakes\.nc/ })).toBeVisible();
  await audit(page);
});

for (const look of ['contrast', 'dim']) {
  test(`the ${look} look keeps its contrast`, async ({ page, server }) => {
    await openProgram(page, server, 'mistakes.nc');
    await setLook(page, look);
    await expect(page.locator(`html[data-look=${look}]`)).toBeVisible();
    await card(page, 'Does it fit?').click();
    await expect(answer(page).locator('mark')).toBeVisible();
    await audit(page);
  });
}

test('German is complete, with its decimal comma', async ({ page, server }) => {
  await openProgram(page, server, 'mistakes.nc');
  await setLook(page, 'bright', 'de');
  await page.getByRole('button', { name: /Passt es\?/ }).click();
  await expect(page.locator('html')).toHaveAttribute('lang', 'de');
  await expect(answer(page)).toContainText(/\d,\d/);
  await audit(page);
});

test('the way from programs to a finding needs no mouse', async ({ page, server }) => {
  await openProgram(page, server, 'mistakes.nc');
  await page.goto(server.address);
  await page.getByRole('link', { name: /mistakes\.nc/ }).focus();
  await page.keyboard.press('Enter');
  await expect(page.getByRole('slider')).toBeVisible();
  await card(page, 'Does it fit?').focus();
  await page.keyboard.press('Enter');
  await expect(answer(page).locator('mark')).toBeVisible();
  await page.getByRole('slider').focus();
  await page.keyboard.press('PageUp');
  await expect(page.getByText(/shown at/)).toBeVisible();
  const show = answer(page).getByRole('button', { name: 'Show in the program' });
  await show.focus();
  await page.keyboard.press('Enter');
  const list = page.getByRole('listbox');
  await list.focus();
  await page.keyboard.press('ArrowDown');
  await expect(list.getByRole('option', { selected: true })).toBeVisible();
});

test('a phone shows everything without scrolling sideways', async ({ page, server }) => {
  await page.setViewportSize({ width: 390, height: 844 });
  await openProgram(page, server, 'mistakes.nc');
  await card(page, 'Does it fit?').click();
  const overflow = await page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
  expect(overflow).toBeLessThanOrEqual(0);
  await audit(page);
});

test('whatever is tapped is at least 48 pixels high', async ({ page, server }) => {
  await openProgram(page, server, 'mistakes.nc');
  for (const question of QUESTIONS) {
    await card(page, question).click();
    const small = await page.evaluate(() =>
      [...document.querySelectorAll('button, select, summary, a.button, a.card')]
        .filter((e) => e.checkVisibility())
        .map((e) => [e.textContent?.trim().slice(0, 30), e.getBoundingClientRect().height] as const)
        .filter(([, height]) => height < 47.5),
    );
    expect(small).toEqual([]);
  }
});
