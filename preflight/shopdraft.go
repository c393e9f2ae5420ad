package preflight

// ShopDraft is a shop file to start from: every key with what it means, all of
// it in comments, so that nothing is in force before the shop has written it.
const ShopDraft = `# Shop file of stencilproof: your films, your limits, your name on the proofs.
#
# Take the # off a line to put it in force. A word in square brackets begins a
# part; its lines follow it. Lengths stand in quotes with their unit: mm, cm,
# um, mil, in or pt. An unknown word is refused with its line, so a slip of the
# pen is found.

# ---- Who you are: stands on every proof.
#[shop]
#name = "Tern & Tide"
#address = ["Ropewalk 7", "Skerrick Haven"]
#email = "bench@tern-and-tide.example"     # the customer's answer goes there
#phone = "555 0147"
#logo = "logo.png"                         # a picture beside this file

# ---- How you work when nothing else is said.
#[habits]
#film = "3 mil"            # the film that is meant when none is named
#units = "mm"              # mm, in or mil
#language = "en"           # en or de
#paper = "A4"              # A4 or Letter
#tape-margin = "6 mm"      # film kept free around the artwork for the tape

# ---- What you set at each step, for the bench sheet. Without these lines it
# ---- says what is common practice; the film's own sheet wins.
#[process]
#exposure = "45 s"
#wash-out = "warm water, 35 s"
#drying = { set = "8 min", remark = "the dryer by the window" }
#storage = "three months"

# ---- Your films. A film named as one of the usual ones (stencilproof films
# ---- lists them) takes its place; any other name adds one. A kind without a
# ---- line here keeps the starting values of the thickness.
#
# Under "fail" it will fail, from "safe" up it holds, between them it is at
# risk. "basis" says where the pair comes from: "measured" (with the date: the
# gauge; stencilproof gauge --help tells how), "shop rule", "published" or
# "from memory". Each kind stands on one line, so that gauge record can renew
# it; what it replaces goes below, under film.was.
#[[film]]
#name = "3 mil"
#thickness = "3 mil"
#remark = "the roll from spring"
#
#[film.limits]
#line   = { fail = "80 um", safe = "112 um", basis = "measured", date = 2027-03-01, remark = "lamp 2" }
#dot    = { fail = "125 um", safe = "160 um", basis = "shop rule", remark = "since the pearls of job 31" }
#strip  = { fail = "114.3 um", safe = "152.4 um", basis = "from memory" }
#island = { fail = "228.6 um", safe = "304.8 um", basis = "from memory" }
#
#[film.process]
#exposure = "50 s"
`
