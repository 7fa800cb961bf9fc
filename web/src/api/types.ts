import type { components } from './schema';

type Schemas = components['schemas'];

export type ShopView = Schemas['ShopView'];
export type MachineView = Schemas['MachineView'];
export type SheetView = Schemas['SheetView'];
export type CheckView = Schemas['CheckView'];
export type ProgramView = Schemas['ProgramView'];
export type TextWindow = Schemas['TextWindow'];
export type Report = Schemas['Report'];
export type Finding = Schemas['FindingOut'];
export type Severity = Schemas['SeverityOut'];
export type Summary = Schemas['Summary'];
export type Bounds = Schemas['BoundsOut'];
export type ToolUse = Schemas['ToolUseOut'];
export type TimeLine = Schemas['TimelineOut'];
export type TimeSpan = Schemas['TimeSpanOut'];
export type Track = Schemas['TrackOut'];
