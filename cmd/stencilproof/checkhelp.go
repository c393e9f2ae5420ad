package main

const helpCheck = `
stencilproof check --film FILM [flags] ARTWORK...

Measures the finest lines, gaps, dots and islands of each artwork at its
engraved size and judges them against a film. ARTWORK is a PNG or TIFF (JPEG,
BMP, WebP and GIF are read too), a folder, which is searched to the bottom, or
- for standard input. The report goes to standard output, the customer's proof
beside the artwork: NAME-proof.html, .pdf and .png.

  stencilproof check --film "3 mil" cup.png
  stencilproof check --film 76um --width 80mm --customer "M. Hale" cup.tif
  stencilproof check --film "5 mil" --no-proof --format json orders/

The film and the engraved size:
  --film FILM       a film by name (stencilproof films lists them) or any
                    thickness: 3mil, 76um, 0.1mm. Without it the film that the
                    shop file names
  --width LENGTH    engraved width, such as 80mm or 3in
  --height LENGTH   engraved height
  --dpi N           pixels an inch. Give one of the three; without them the
                    resolution in the file decides, and a file without one is
                    refused. Lengths take mm, cm, um, mil, in or pt
  --negative        clear areas are carved, not black ones

What is judged:
  --page N          which page of a file with several (1)
  --drop-specks     leave specks under 4 square pixels out of the verdict
  --grit NAME       say how an abrasive such as F180 gets into the openings
  --depth LENGTH    say which openings cannot be carved that deep
  --shop FILE       the shop file; without it the one in your configuration
                    folder, if it is there

What is written:
  --format FORM     text (for people) or json (one object an artwork, a line
                    each)
  --out DIR         where the proofs go instead of beside the artwork
  --no-proof        write no proof
  --bench           write the sheet for the shop as well: NAME-bench.html and
                    .pdf, with film, grit, depth, what to watch, and cautions
  --customer NAME   who it is for           \
  --job NUMBER      the job's number         |  printed
  --revision MARK   the artwork's revision   |  on the
  --date DATE       year-month-day (today)   |  proof
  --lang CODE       en or de                 |
  --units UNIT      mm, in or mil            |
  --paper SIZE      a4 or letter            /
  --quiet           nothing on standard error but errors. Without it, a bar
                    tells how far long work is, when that is a terminal

Many artworks at once:
  --jobs N          how many are in hand at once (2)
  --max-pixels N    the most pixels an artwork may have (700000000)

One bad file never stops the rest. Each artwork stands alone, so a backlog
may as well be spread over any job queue.

Exit status: 0 nothing fails (all holds, or is at risk), 1 at least one feature
fails, 2 at least one artwork could not be checked, or bad usage. Over several
artworks the highest wins; the status is the same whatever the format.
`
