import type { MachineView, SheetView } from '../api/types';
import { boxOf, shift } from './shapes';
import type { Box, Point } from './view';

export function tableBox(machine: MachineView): Box {
  const [x, y] = [machine.table_x_mm, machine.table_y_mm];
  return { min: [x[0], y[0]], max: [x[1], y[1]] };
}

/** The sheet's outline where it lies on the table. */
export function sheetOutline(machine: MachineView | undefined, sheet: SheetView): Point[] {
  return shift(sheet.outline_mm, machine?.sheet_corner_mm ?? [0, 0]);
}

export function sheetBox(machine: MachineView | undefined, sheet: SheetView): Box | null {
  return boxOf(sheetOutline(machine, sheet));
}
