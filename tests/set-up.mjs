// Runs before `npm test`: the browser tests need Chromium, which npm does not bring. It is installed where that can be
// done without asking (Debian, as root); elsewhere one line says exactly how.
import { spawnSync } from 'node:child_process';
import { existsSync } from 'node:fs';

const places = ['/usr/bin/chromium', '/usr/bin/chromium-browser', '/usr/bin/google-chrome'];
const found = () => process.env.CHROMIUM_PATH ?? places.find((place) => existsSync(place));
const run = (command, ...words) =>
  spawnSync(command, words, {
    stdio: ['ignore', 'ignore', 'inherit'],
    env: { ...process.env, DEBIAN_FRONTEND: 'noninteractive' },
  }).status === 0;

if (!found() && existsSync('/usr/bin/apt-get') && process.getuid?.() === 0) {
  process.stdout.write('installing Chromium for the browser tests (about 500 MB, once)\n');
  run('apt-get', 'update', '-q') && run('apt-get', 'install', '-y', '-q', '--no-install-recommends', 'chromium');
}
if (!found()) {
  process.stderr.write(
    'The browser tests need Chromium: on Debian or Ubuntu "sudo apt-get install -y --no-install-recommends chromium", elsewhere install Chromium or Chrome and set CHROMIUM_PATH to its program; then run npm test again.\n',
  );
  process.exit(1);
}
