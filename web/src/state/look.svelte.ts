import { settings } from './settings.svelte';

export type Look = 'bright' | 'contrast' | 'dim';

/** The look shown: the one chosen, or what the device asks for. */
class CurrentLook {
  private moreContrast = $state(false);
  readonly name: Look = $derived.by(() => {
    if (settings.look !== 'device') return settings.look;
    return this.moreContrast ? 'contrast' : 'bright';
  });

  constructor() {
    const asked = matchMedia('(prefers-contrast: more)');
    this.moreContrast = asked.matches;
    asked.addEventListener('change', () => {
      this.moreContrast = asked.matches;
    });
  }
}

export const look = new CurrentLook();
