import { spawn, type ChildProcess } from 'node:child_process';
import { existsSync } from 'node:fs';
import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';

const ROOT = join(import.meta.dirname, '../..');
export const PROGRAMS = join(ROOT, 'demo/programs');
export const PICTURES = join(ROOT, 'docs/pictures');

/** Longest wait for the server's address, ms. */
const START_MS = 20_000;

/** The real program, serving the demo shop from a data folder of its own. */
export class Kerfwright {
  address = '';
  private process: ChildProcess | null = null;

  private constructor(private readonly data: string) {}

  static async start(): Promise<Kerfwright> {
    const server = new Kerfwright(await mkdtemp(join(tmpdir(), 'kerfwright-e2e-')));
    await server.run('0');
    return server;
  }

  /** Starts again at the same address with what was kept. */
  async again(): Promise<void> {
    await this.run(new URL(this.address).port);
  }

  async stop(): Promise<void> {
    const { process } = this;
    this.process = null;
    if (!process || process.exitCode !== null) return;
    const gone = new Promise((resolve) => process.once('exit', resolve));
    process.kill('SIGINT');
    await gone;
  }

  async end(): Promise<void> {
    await this.stop();
    await rm(this.data, { recursive: true, force: true });
  }

  private async run(port: string): Promise<void> {
    const binary = process.env['KERFWRIGHT'] ?? join(ROOT, 'target/debug/kerfwright');
    if (!existsSync(binary)) throw new Error(`${binary} is missing: run \`cargo build\` first`);
    const shop = join(ROOT, 'demo/shop');
    const args = ['serve', '--shop', shop, '--data', this.data, '--port', port];
    const child = spawn(binary, args, { stdio: ['ignore', 'pipe', 'pipe'] });
    this.process = child;
    this.address = await addressOf(child);
  }
}

/** Waits for the address that the program prints. */
function addressOf(child: ChildProcess): Promise<string> {
  return new Promise((resolve, reject) => {
    let said = '';
    const fail = (): void => reject(new Error(`no address from the server; it said: ${said}`));
    const timer = setTimeout(fail, START_MS);
    child.stderr?.on('data', (bytes) => (said += String(bytes)));
    child.stdout?.on('data', (bytes) => {
      said += String(bytes);
      const found = /https?:\/\/[^\s]+/.exec(said);
      if (!found) return;
      clearTimeout(timer);
      resolve(found[0]);
    });
    child.once('exit', fail);
  });
}
