import { fireEvent, render, screen } from '@testing-library/svelte';
import { expect, it, vi } from 'vitest';
import type { TimeLine as TimeLineData } from '../api/types';
import TimeLine from './TimeLine.svelte';

const timeLine: TimeLineData = {
  duration_s: 1000,
  spans: [
    { from_s: 0, to_s: 400, kind: 'tool', tool: 2, label: '' },
    { from_s: 400, to_s: 400, kind: 'wait', tool: 2, label: '' },
    { from_s: 400, to_s: 1000, kind: 'hand-load', tool: 7, label: '' },
  ],
  tracks: [{ name: 'feed', unit: 'mm/min', step_s: 500, low: [0, 0], high: [6000, 0] }],
};

it('is moved by keys and says which moment it shows', async () => {
  const ontime = vi.fn();
  render(TimeLine, { timeLine, tools: [], ticks: [], time: 500, ontime });
  const slider = screen.getByRole('slider', { name: 'Moment of the run' });
  expect(slider.getAttribute('aria-valuetext')).toBe('8:20, hand-load 7');
  await fireEvent.keyDown(slider, { key: 'ArrowRight' });
  await fireEvent.keyDown(slider, { key: 'Home' });
  await fireEvent.keyDown(slider, { key: 'x' });
  expect(ontime.mock.calls).toEqual([[510], [0]]);
});

it('shows a track that it has no word for under the name it came with', () => {
  const track = { ...timeLine.tracks[0], name: 'made-up' };
  render(TimeLine, {
    timeLine: { ...timeLine, tracks: [track] },
    tools: [],
    ticks: [],
    time: 0,
    ontime: () => undefined,
  });
  expect(screen.getByText('made-up')).toBeTruthy();
});
