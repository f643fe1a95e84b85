/** What the reader chose, shared by every screen. */
import { applyDisplay, type Display, keepDisplay, keepName, keepUnits, storedDisplay, storedName, storedUnits } from '../logic/preferences';
import { UNIT_CHOICES, type UnitChoice } from '../logic/units';

class Chosen {
  display = $state<Display>(storedDisplay());
  units = $state(storedUnits());
  name = $state(storedName());

  get unitChoice(): UnitChoice {
    return (UNIT_CHOICES.find((one) => one.id === this.units) ?? UNIT_CHOICES[0]!).choice;
  }

  setDisplay(change: Partial<Display>): void {
    this.display = { ...this.display, ...change };
    keepDisplay(this.display);
    this.apply();
  }

  setUnits(id: string): void {
    this.units = id;
    keepUnits(id);
  }

  setName(name: string): void {
    this.name = name.trim();
    keepName(name);
  }

  apply(): void {
    applyDisplay(this.display, document, matchMedia('(prefers-color-scheme: dark)').matches);
  }
}

export const chosen = new Chosen();
