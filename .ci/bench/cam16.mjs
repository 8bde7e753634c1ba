// CIECAM16 forward in colorjs.io (CAM16 of Li et al. 2017), colours a second.
// The view (its "environment") is prepared once, as ours is.
import { toCam16, environment } from "colorjs.io/src/spaces/cam16.js";

const white = [0.3127 / 0.329, 1, (1 - 0.3127 - 0.329) / 0.329];
const env = environment(white, 24, 20, "average", false);
const colours = [];
for (let i = 0; i < 1000; i++) {
	const y = (i + 1) / 1000;
	colours.push([0.95 * y, y, (0.6 + 0.5 * y) * y]);
}
let sum = 0;
const round = () => { for (const c of colours) sum += toCam16(c, env).J; };
for (let i = 0; i < 50; i++) round(); // warm up
const start = process.hrtime.bigint();
let n = 0;
while (process.hrtime.bigint() - start < 2_000_000_000n) { round(); n += colours.length; }
const seconds = Number(process.hrtime.bigint() - start) / 1e9;
if (!(sum > 0)) throw new Error("no result");
console.log(Math.round(n / seconds));
