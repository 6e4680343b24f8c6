// Opens every page of a folder in headless Chromium and asks of each:
//   no message on the console, no request but the page itself
//   at 360, 768 and 1280 pixels nothing is wider than the window
//   every word of a picture lies inside it, and no two lie on each other, on a screen and on paper
//   no violation of WCAG 2.1 A and AA that axe-core finds
//   on A4 no more sheets than its kind may have
// look.js MODULES PAGES   with CHROMIUM, the browser's path; SHOTS, a folder for pictures and PDFs, and ONLY, a part of a
// page's name, are for people.
'use strict';
const fs = require('fs');
const path = require('path');
const [modules, folder] = process.argv.slice(2);
const load = (name) => require(path.resolve(modules, 'node_modules', name));
const {chromium} = load('playwright-core');
const axe = load('axe-core');

const widths = [360, 768, 1280];
const paper = 688;  // pixels between the margins of A4
const sheets = {work: 7, estimate: 4, bill: 2, handover: 3, sheet: 4, board: 4, drift: 3, history: 4};
const shots = process.env.SHOTS;

let failed = 0;
const fail = (name, text) => {
  failed += 1;
  console.log(`${name}: ${text}`);
};

// What sticks out to the right, by the words in it. What is drawn apart on purpose (clipped away) does not count.
const too_wide = () => {
  const room = document.documentElement.clientWidth;
  const found = [];
  if (document.documentElement.scrollWidth > room) found.push('the page');
  for (const each of document.body.querySelectorAll('*')) {
    const box = each.getBoundingClientRect();
    if (box.width > 0 && box.right > room + 1 && !each.closest('thead'))
      found.push(`${each.tagName.toLowerCase()} "${each.textContent.trim().slice(0, 40)}"`);
  }
  return found.slice(0, 3);
};

const words_of_pictures = () => {
  const found = [];
  for (const svg of document.querySelectorAll('svg')) {
    const frame = svg.getBoundingClientRect();
    const texts = [...svg.querySelectorAll('text')].map((each) => ({text: each.textContent, box: each.getBoundingClientRect()}));
    for (const {text, box} of texts) {
      const inside = box.left >= frame.left - 1 && box.right <= frame.right + 1 && box.top >= frame.top - 1 &&
                     box.bottom <= frame.bottom + 1;
      if (!inside) found.push(`"${text}" leaves its picture`);
    }
    // A line's box is taller than its letters; a quarter may be shared.
    for (let i = 0; i < texts.length; ++i) {
      for (let k = i + 1; k < texts.length; ++k) {
        const a = texts[i].box;
        const b = texts[k].box;
        const wide = Math.min(a.right, b.right) - Math.max(a.left, b.left);
        const tall = Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top);
        if (wide > 2 && tall > 0.3 * Math.min(a.height, b.height))
          found.push(`"${texts[i].text}" and "${texts[k].text}" lie on each other`);
      }
    }
  }
  return found.slice(0, 5);
};

const count_sheets = (pdf) => (pdf.toString('latin1').match(/\/Type\s*\/Page\b(?!s)/g) || []).length;

const look = async (context, file) => {
  const name = path.basename(file, '.html');
  const address = 'file://' + path.resolve(folder, file);
  const page = await context.newPage();
  page.on('console', (message) => fail(name, `console: ${message.text()}`));
  page.on('pageerror', (error) => fail(name, `error: ${error.message}`));
  page.on('request', (request) => {
    if (request.url() !== address) fail(name, `asks for ${request.url()}`);
  });
  for (const width of widths) {
    await page.setViewportSize({width, height: 900});
    if (page.url() !== address) await page.goto(address);
    for (const text of await page.evaluate(too_wide)) fail(name, `at ${width} pixels too wide: ${text}`);
    if (shots) await page.screenshot({path: `${shots}/${name}-${width}.png`, fullPage: true});
  }
  for (const text of await page.evaluate(words_of_pictures)) fail(name, text);
  await page.setViewportSize({width: paper, height: 900});
  await page.emulateMedia({media: 'print'});
  for (const text of await page.evaluate(words_of_pictures)) fail(name, `on paper: ${text}`);
  await page.emulateMedia({media: null});
  await page.setViewportSize({width: widths[2], height: 900});
  await page.evaluate(axe.source);
  const result = await page.evaluate(() => axe.run({runOnly: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa']}));
  for (const each of result.violations)
    fail(name, `${each.id}: ${each.help}: ${each.nodes[0].html.slice(0, 120)} (${each.nodes.length})`);
  const pdf = await page.pdf({format: 'A4', preferCSSPageSize: false});
  const count = count_sheets(pdf);
  const most = sheets[name.split('-')[0]];
  if (count < 1 || count > most) fail(name, `${count} sheets of A4, at most ${most} expected`);
  if (shots) fs.writeFileSync(`${shots}/${name}.pdf`, pdf);
  await page.close();
};

(async () => {
  const browser = await chromium.launch({executablePath: process.env.CHROMIUM, args: ['--no-sandbox']});
  const context = await browser.newContext();
  const files = fs.readdirSync(folder).filter((each) => each.endsWith('.html') && each.includes(process.env.ONLY || ''));
  if (shots) fs.mkdirSync(shots, {recursive: true});
  for (const file of files.sort()) await look(context, file);
  await browser.close();
  console.log(`${files.length} pages, ${failed} complaints`);
  if (files.length < (process.env.ONLY ? 1 : 100)) failed += 1;
  process.exit(failed ? 1 : 0);
})();
