import createClient from 'openapi-fetch';
import { parseDrawing, type DrawingData } from '../drawing/parse';
import type { paths } from './schema';
import { isAbort, refusal, Trouble } from './trouble';
import type { CheckView, ProgramView, Report, ShopView, TextWindow, TimeLine } from './types';

/** Program, machine and sheet of a check. */
export interface Setup {
  id: number;
  machine: string;
  sheet: string;
}

/** Most segments asked for: what a page without graphics hardware draws at ease. */
const SEGMENT_BUDGET = 150_000;
const TIMELINE_STEPS = 1200;

const client = createClient<paths>({ baseUrl: '' });

type Reply<T> = { data?: T; error?: unknown; response: Response };

async function take<T>(call: Promise<Reply<T>>): Promise<T> {
  const reply = await call.catch((thrown: unknown) => {
    throw isAbort(thrown) ? thrown : new Trouble('lost', 0, '', '');
  });
  if (!reply.response.ok || reply.data === undefined)
    throw refusal(reply.response.status, reply.error);
  return reply.data;
}

export const getShop = (): Promise<ShopView> => take(client.GET('/api/v1/shop'));

export const getChecks = (): Promise<CheckView[]> => take(client.GET('/api/v1/checks'));

export const getPrograms = (): Promise<ProgramView[]> => take(client.GET('/api/v1/programs'));

export function getProgram(id: number, signal: AbortSignal): Promise<ProgramView> {
  return take(client.GET('/api/v1/programs/{id}', { params: { path: { id } }, signal }));
}

export function getReport({ id, machine, sheet }: Setup, signal: AbortSignal): Promise<Report> {
  const params = { path: { id }, query: { machine, sheet } };
  return take(client.GET('/api/v1/programs/{id}/report', { params, signal }));
}

export function getTimeLine({ id, machine, sheet }: Setup, signal: AbortSignal): Promise<TimeLine> {
  const params = { path: { id }, query: { machine, sheet, steps: TIMELINE_STEPS } };
  return take(client.GET('/api/v1/programs/{id}/timeline', { params, signal }));
}

export async function getDrawing(
  { id, machine, sheet }: Setup,
  signal: AbortSignal,
): Promise<DrawingData> {
  const params = { path: { id }, query: { machine, sheet, budget: SEGMENT_BUDGET } };
  const call = client.GET('/api/v1/programs/{id}/drawing', {
    params,
    signal,
    parseAs: 'arrayBuffer',
  });
  return parseDrawing(await take(call as Promise<Reply<ArrayBuffer>>));
}

/** `count` lines from line `from` on; lines count from 1. */
export function getText(id: number, from: number, count: number): Promise<TextWindow> {
  const params = { path: { id }, query: { from, count } };
  return take(client.GET('/api/v1/programs/{id}/text', { params }));
}

/** Where the program can be fetched byte for byte. */
export const sourceAddress = (id: number): string => `/api/v1/programs/${id}/source`;
