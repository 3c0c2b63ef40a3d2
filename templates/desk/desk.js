// The desk works without this. It watches a search, takes dropped files and pastes into the grid.
'use strict';
(() => {
  const area = document.querySelector('[data-watch]');
  if (area) {
    const source = new EventSource(area.dataset.watch);
    const put = (id, words) => {
      const place = document.getElementById(id);
      if (place && words !== '' && place.textContent !== words) place.textContent = words;
    };
    source.addEventListener('far', event => {
      const far = JSON.parse(event.data);
      put('seconds', String(far.seconds));
      put('found', far.found);
      put('open', far.open);
      // A valid plan is there to look at, while the search for its proof goes on.
      if (far.plan && area.dataset.plan !== 'yes') { source.close(); location.replace(location.pathname); }
    });
    source.addEventListener('done', event => { source.close(); location.replace(event.data); });
    addEventListener('pagehide', () => source.close());
  }

  // What is worked out is asked for again till it is there.
  if (document.querySelector('[data-again]')) setTimeout(() => location.reload(), 1000);

  const drop = document.getElementById('drop');
  if (drop) {
    const said = document.getElementById('said');
    const send = async files => {
      let last = '';
      for (const file of files) {
        if (file.size > 10 * 1024 * 1024) { said.textContent = `${file.name} has more than 10 MB.`; return; }
        said.textContent = `Reading ${file.name}`;
        const said_of = new URLSearchParams();
        for (const name of ['follows', 'dealer', 'day']) said_of.set(name, document.getElementById(name).value);
        const answer = await fetch(`/lists/drop?${said_of}`, { method: 'POST', body: file, headers: { 'x-name': encodeURIComponent(file.name) } });
        const words = await answer.text();
        if (!answer.ok) { said.textContent = words; return; }
        last = words;
      }
      if (last) location.assign(last);
    };
    const stop = event => { event.preventDefault(); drop.classList.toggle('over', event.type === 'dragover'); };
    for (const name of ['dragenter', 'dragover', 'dragleave']) drop.addEventListener(name, stop);
    drop.addEventListener('drop', event => { stop(event); send([...event.dataTransfer.files]); });
    document.getElementById('file').addEventListener('change', event => send([...event.target.files]));
    // Beside the field a file would replace the page.
    for (const name of ['dragover', 'drop']) addEventListener(name, event => event.preventDefault());
  }

  for (const slide of document.querySelectorAll('input[type=range][data-for]')) {
    const field = document.getElementById(slide.dataset.for);
    const steps = [...slide.list?.options ?? []];
    const buys = document.getElementById('buys');
    slide.addEventListener('input', () => {
      field.value = slide.value;
      const step = steps.filter(o => Number(o.value) <= Number(slide.value)).at(-1);
      if (buys && steps.length) buys.textContent = step ? `A budget of ${step.value} dollars: ${step.label}.` : 'Less than the least budget of the curve.';
    });
  }

  const grid = document.querySelector('table.grid');
  if (grid) {
    const cells = row => [...row.querySelectorAll('input')];
    grid.addEventListener('paste', event => {
      const text = event.clipboardData.getData('text/plain').replace(/\r?\n$/, '');
      if (!/[\t\n]/.test(text) || event.target.tagName !== 'INPUT') return;
      event.preventDefault();
      const rows = [...grid.tBodies[0].rows];
      const top = rows.indexOf(event.target.closest('tr'));
      const left = cells(rows[top]).indexOf(event.target);
      text.split(/\r?\n/).forEach((line, down) => {
        const row = rows[top + down];
        if (!row) return;
        line.split('\t').forEach((words, right) => {
          const cell = cells(row)[left + right];
          if (cell) cell.value = words.trim();
        });
      });
      grid.dispatchEvent(new Event('change'));
    });
    // What the reader says of the cells, as they are left.
    const form = document.getElementById('grid');
    let asked = 0;
    const check = async () => {
      const mine = ++asked;
      const answer = await fetch('/crossings/check', { method: 'POST', body: new URLSearchParams(new FormData(form)) });
      if (!answer.ok || mine !== asked) return;
      const says = await answer.json();
      for (const input of grid.querySelectorAll('input')) {
        const words = says[input.name] ?? '';
        const place = input.parentElement;
        let span = place.querySelector('.says');
        place.classList.toggle('bad', words !== '');
        if (!words) { span?.remove(); input.removeAttribute('aria-invalid'); input.removeAttribute('aria-describedby'); continue; }
        if (!span) {
          span = document.createElement('span');
          span.className = 'says';
          span.id = `${input.name}s`;
          place.append(span);
        }
        span.textContent = words;
        input.setAttribute('aria-invalid', 'true');
        input.setAttribute('aria-describedby', span.id);
      }
    };
    grid.addEventListener('change', check);

    // A click on the map puts the crossing of the row there.
    const map = document.querySelector('#map svg');
    const pointed = document.getElementById('pointed');
    let last = null;
    grid.addEventListener('focusin', event => { last = event.target.closest('tr') ?? last; });
    map?.addEventListener('click', event => {
      const part = name => last?.querySelector(`[data-part=${name}]`);
      if (!part('latitude') || !part('longitude')) { pointed.textContent = 'Put the cursor in a row of the table first.'; return; }
      const at = new DOMPoint(event.clientX, event.clientY).matrixTransform(map.getScreenCTM().inverse());
      const number = name => Number(map.getAttribute(`data-${name}`));
      const longitude = number('west') + (at.x - number('left')) / number('per-lon');
      const latitude = number('north') - (at.y - number('top')) / number('per-lat');
      part('latitude').value = latitude.toFixed(4);
      part('longitude').value = longitude.toFixed(4);
      const name = part('crossing')?.value || `row ${last.sectionRowIndex + 1}`;
      pointed.textContent = `${name} is at ${latitude.toFixed(4)}, ${longitude.toFixed(4)}; it is saved with the table.`;
      let mark = map.querySelector('.pointed');
      if (!mark) {
        mark = document.createElementNS('http://www.w3.org/2000/svg', 'circle');
        mark.setAttribute('class', 'pointed');
        mark.setAttribute('r', '7');
        map.append(mark);
      }
      mark.setAttribute('cx', at.x);
      mark.setAttribute('cy', at.y);
      check();
    });

    grid.addEventListener('keydown', event => {
      const by = { ArrowUp: -1, ArrowDown: 1 }[event.key];
      if (!by || event.target.tagName !== 'INPUT') return;
      const rows = [...grid.tBodies[0].rows];
      const row = event.target.closest('tr');
      const next = rows[rows.indexOf(row) + by];
      const cell = next && cells(next)[cells(row).indexOf(event.target)];
      if (cell) { event.preventDefault(); cell.focus(); cell.select(); }
    });
  }
})();
