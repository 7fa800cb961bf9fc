import { QUESTION_OF_CHECK } from '../src/lib/questions';
import { checksEn } from '../src/lib/words/checks.en';
import { expect, test } from './page';

test('the page knows no check that the server does not have', async ({ request, server }) => {
  const checks: { name: string }[] = await (
    await request.get(`${server.address}api/v1/checks`)
  ).json();
  const names = new Set(checks.map((check) => check.name));
  expect(Object.keys(QUESTION_OF_CHECK).filter((name) => !names.has(name))).toEqual([]);
  expect(Object.keys(checksEn).filter((name) => !names.has(name))).toEqual([]);
});
