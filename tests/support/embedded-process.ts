// A process of its own that starts the embedded database of the folder it is given, tells how that went, and waits to be killed.
import { startEmbedded } from '../../src/store/embedded.ts';

const started = await startEmbedded({ dataDir: process.argv[2] ?? '' });
console.log(JSON.stringify(started.ok ? { port: started.value.port } : started.error));
if (started.ok) setInterval(() => {}, 60_000);
else process.exitCode = 1;
