import { getChecks, getShop } from '../api/client';
import { asTrouble, type Trouble } from '../api/trouble';
import type { CheckView, MachineView, SheetView, ShopView } from '../api/types';
import { connection } from './connection.svelte';

/** The shop's machines and sheets, and what the checks explain. Loaded once. */
class Shop {
  view = $state.raw<ShopView | null>(null);
  checks = $state.raw<ReadonlyMap<string, CheckView>>(new Map());
  trouble = $state.raw<Trouble | null>(null);

  async load(): Promise<void> {
    this.trouble = null;
    try {
      const [view, checks] = await Promise.all([getShop(), getChecks()]);
      this.view = view;
      this.checks = new Map(checks.map((check) => [check.name, check]));
    } catch (thrown) {
      connection.noticed(thrown);
      this.trouble = asTrouble(thrown);
    }
  }

  machine(id: string): MachineView | undefined {
    return this.view?.machines.find((machine) => machine.id === id);
  }

  sheet(id: string): SheetView | undefined {
    return this.view?.sheets.find((sheet) => sheet.id === id);
  }
}

export const shop = new Shop();
