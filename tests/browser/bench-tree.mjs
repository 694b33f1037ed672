// A folder that stands for a machine's root: sensors that warm while a load runs and cool after it.
import { closeSync, mkdirSync, openSync, writeFileSync, writeSync } from 'node:fs';
import { dirname, join } from 'node:path';

const write = (root, path, text) => {
  mkdirSync(dirname(join(root, path)), { recursive: true });
  writeFileSync(join(root, path), text);
};

/** Makes the tree; chips and labels may be called anything. */
export const tree = (root, { chip = 'lm75', label = 'SYS' } = {}) => {
  write(root, 'sys/class/hwmon/hwmon0/name', chip);
  write(root, 'sys/class/hwmon/hwmon0/temp1_label', label);
  write(root, 'sys/class/hwmon/hwmon0/temp1_input', '38000');
  write(root, 'sys/class/hwmon/hwmon0/temp1_crit', '100000');
  write(root, 'sys/class/hwmon/hwmon1/name', 'board');
  write(root, 'sys/class/hwmon/hwmon1/temp1_input', '27000');
  write(root, 'sys/class/hwmon/hwmon1/fan1_input', '900');
  write(root, 'sys/class/powercap/zone:0/name', 'package-0');
  write(root, 'sys/class/powercap/zone:0/energy_uj', '1000000');
  write(root, 'sys/class/powercap/zone:0/max_energy_range_uj', '262143328850');
};

/** Lets the tree live: at rest, from `from` to `to` seconds under load, then at rest. Gives what ends it. */
export const live = (root, { from, to, load = 65, rest = 5, resistance = 0.45 }) => {
  const begun = performance.now();
  // In place and of one length, as the kernel's files change under a reader: never empty in between.
  const files = ['hwmon/hwmon0/temp1_input', 'hwmon/hwmon1/temp1_input', 'powercap/zone:0/energy_uj'].map((path) => openSync(join(root, 'sys/class', path), 'r+'));
  const say = (file, value) => writeSync(file, String(Math.round(value)).padEnd(16, '\n'), 0);
  let [energy, stages, last] = [1e6, [0, 0, 0], 0];
  const parts = [[0.15, 0.3], [0.25, 1.5], [0.6, 8]];
  const timer = setInterval(() => {
    const now = (performance.now() - begun) / 1000;
    const power = now >= from && now < to ? load : rest;
    const step = now - last;
    last = now;
    energy += power * step * 1e6;
    stages = stages.map((rise, at) => rise + (parts[at][0] * resistance * (power - rest) - rise) * (1 - Math.exp(-step / parts[at][1])));
    const celsius = 38 + stages.reduce((sum, rise) => sum + rise, 0);
    say(files[0], celsius * 1000);
    say(files[1], 27000 + now * 10);
    say(files[2], energy);
  }, 40);
  return () => { clearInterval(timer); files.forEach(closeSync); };
};
