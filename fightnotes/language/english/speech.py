"""English as it is heard: how letters sound, and which words are ordinary. `english` has these names, too."""

from __future__ import annotations

import re


def _words(text: str) -> tuple[str, ...]:
    return tuple(text.split())


# ---- how letters sound --------------------------------------------------------------------------------------------
# From memory (common practice, no source). A sound is one character: consonants as in the alphabet, with T (thin),
# S (she), Z (measure), C (chin), J (gin), N (sing); vowels a e i o u, E (day), I (my), W (now), @ (her).

SPELT = str.maketrans(
    {"ñ": "ny", "ń": "ny", "ä": "e", "ö": "o", "ü": "u", "ł": "w", "å": "o", "ø": "o", "æ": "e", "œ": "o", "ç": "s",
     "č": "ch", "ć": "ch", "š": "sh", "ś": "sh", "ş": "sh", "ž": "zh", "ź": "zh", "ż": "zh", "ř": "zh", "ğ": "",
     "ţ": "ts", "ț": "ts", "ș": "sh"}
)  # fmt: skip
"""Letters of other languages as English would spell their sound."""
DOUBLED = re.compile(r"([bdfklmnprstvz])\1")
LETTERS: dict[str, tuple[tuple[str, str], ...]] = {
    "a": (
        ("augh", "o"), ("aa|ah(?![aeiouy])|ae", "a"), ("air|are$", "er"), ("ar(?![aeiouy])", "ar"), ("ai|ay", "E"),
        ("aw|au", "o"),
        ("al(?=l|k)", "ol"), ("a(?=[bcdfgklmnprstvz]e$)", "E"), ("a", "a"),
    ),
    "b": (("bh", "b"), ("bt$", "t"), ("b", "b")),
    "c": (
        ("czech|cheque", "Cek"), ("chr", "kr"), ("ch", "C"), ("cz", "C"), ("ck", "k"), ("cc(?=[ei])", "ks"),
        ("cqu", "kw"), ("c(?=[eiy])", "s"),
        ("c", "k"),
    ),
    "d": (("dzh", "J"), ("dg(?=[eiy])", "J"), ("dj", "J"), ("dh", "d"), ("d", "d")),
    "e": (
        ("eigh", "E"), ("eer|ear(?![aeioun])", "ir"), ("ear(?=n)", "@r"), ("eir", "er"), ("er(?![aeiouy])", "@r"),
        ("eau", "o"), ("ee|ea", "i"),
        ("ei(?=$|v|z)", "i"), ("eu|ew(?![aeiou])", "u"), ("(?<=^[bhmwy])e$|(?<=^sh)e$", "i"), ("ey$", "i"),
        ("ei|ey", "E"), (r"(?<=[aeiouy][bcdfgklmnprstvwz])es$", "s"),
        ("(?<=[td])ed$", "@d"), ("(?<=[^aeioutd])ed$", "d"), ("(?<=[aeiouy][bcdfgklmnprstvwxz])e$", ""),
        ("(?<=[aeiouylr][lnrscgdt][bcdfgklmnprstvz])e$", ""),
        ("(?<=[gvzs])e$", ""), ("e(?=[bcdfgklmnprstvz]e$)", "i"), ("e", "e"),
    ),
    "f": (("f", "f"),),
    "g": (
        ("^gn", "n"), ("^gh", "g"), ("gh", ""), ("gg", "g"), ("gu(?=[ei])|gu(?=ar)", "g"), ("ge$", "J"),
        ("g(?=[eiy])", "J"), ("g", "g"),
    ),
    "h": (("^hj", "y"), ("h(?=[aeiouy])", "h"), ("h", "")),
    "i": (
        ("igh", "I"), ("ier|ir(?![aeiouy])", "@r"), ("ie", "i"), ("i(?=[bcdfgklmnprstvz]e$)", "I"),
        ("(?<=^h)i$", "I"), ("i", "i"),
    ),
    "j": (("j", "J"),),
    "k": (("^kn", "n"), ("kh", "k"), ("k", "k")),
    "l": (("^lj", "y"), ("lk$", "k"), ("lf$", "f"), ("(?<=[bcdfgkpstz])le$", "@l"), ("l", "l")),
    "m": (("mb$", "m"), ("^mn", "n"), ("m", "m")),
    "n": (("ng(?=[aeiouywr])", "Ng"), ("ng", "N"), ("n(?=k|c[aouk]|x)", "N"), ("n", "n")),
    "o": (
        ("ough(?=t)", "o"), ("ough", "o"), ("oor|our|oar|ore", "or"), ("or(?![aeiouy])", "or"), ("oo", "u"),
        ("oa|oe|ow$", "o"),
        ("ou(?=bl|ch|pl)", "a"), ("ou(?=ld)", "u"), ("ou|ow", "W"), ("oi|oy", "oi"), ("oh(?![aeiouy])", "o"),
        ("o", "o"),
    ),
    "p": (("ph", "f"), ("^ps", "s"), ("^pn", "n"), ("p", "p")),
    "q": (("que$", "k"), ("qu", "kw"), ("q", "k")),
    "r": (("rh", "r"), ("(?<=[^aeiou])rz", "S"), ("r", "r")),
    "s": (
        ("sch(?![aeiou])", "S"), ("sch", "sk"), ("strz", "stS"), ("sh", "S"), ("sz", "S"), ("sten$", "s@n"),
        ("sions?$", "Z@n"),
        ("sc(?=[eiy]|le)", "s"), ("s(?=ure)", "Z"), ("(?<=[aeioubdglmnrvwy])s$", "z"), ("s", "s"),
    ),
    "t": (("tch", "C"), ("th", "T"), ("ti(?=on|al)", "S"), ("ture", "C@"), ("t", "t")),
    "u": (
        ("ur(?![aeiouy])", "@r"), ("ue$|ui", "u"), ("u(?=[bcdfgklmnprstvz]e$)", "u"), ("^un", "an"),
        ("u(?=[bcdfgklmnprstvz]{1,2}$)", "a"), ("u", "u"),
    ),
    "v": (("v", "v"),),
    "w": (("^wr", "r"), ("who(?=$|[ms])", "hu"), ("wh(?=o)", "h"), ("wh", "w"), ("w(?=[aeiouy])", "w"), ("w", "u")),
    "x": (("^x", "z"), ("x", "ks")),
    "y": (("y(?=[aeiou])", "y"), ("yr(?![aeiouy])", "@r"), ("y", "i")),
    "z": (("zh", "Z"), ("z", "z")),
}  # fmt: skip
"""By the letter that a spelling begins with, the first that fits: a pattern, and the sounds that it stands for."""


def plural(text: str) -> str:
    """Its last word for more than one; as a verb, in the third person."""
    if re.search("[^aeiou]y$", text):
        return f"{text[:-1]}ies"
    return f"{text}{'es' if re.search('(?:s|x|z|ch|sh)$', text) else 's'}"


# ---- ordinary words -----------------------------------------------------------------------------------------------
COMMON_WORDS = frozenset(
    _words("""
    able above accept accident account act actually add address advantage advice afraid afternoon age ago agree ah
    air allow alone along already always american amount anger angry animal annoy answer any anybody anyone anything
    anyway apart appear apple area arm army around arrive art aside ask asleep ate attack attempt attention audience
    aunt author average avoid awake award aware awful awkward baby bad bag balance ball band bank bar bare bargain
    base basic basket bath bay beach bear beast beat beautiful become bed bee beer began begin begun behave
    behaviour belief believe bell belong below belt bench bend beneath benefit beside best bet better beyond big
    bike bill bird birth bit bite bitter black blame blank bleed bless blind block blood blow blue board boat bold
    bomb bone book boot border bored born borrow boss bother bottle bottom bought bounce bowl box boy brain branch
    brave bread break breakfast breath breathe brick bridge brief bright brilliant bring broad broke broken brother
    brought brown brush bucket build built bump bunch burn burst bus bush business busy butter button buy cabin cake
    calculate calm came camera camp cancel candle captain car card care career careful carpet carry cart case cash
    castle cat catch caught cause caution cell centre century certain chain chair challenge champion chance change
    channel character charge charm chase chat cheap cheat check cheek cheer cheese chest chicken chief child
    children chip choice choose chose chosen church circle city claim clap class clean clear clever climb clock
    close cloth cloud club clue coach coast coat coffee cold collapse collect college colour column combine comfort
    comment commit common company compare compete complain complete computer concern condition confidence confuse
    congratulate connect conscious consider constant contact contain contest continue contract control conversation
    convince cook cool copy corner correct cost cotton couch cough count country couple courage course court cousin
    cover cow crack crash crawl crazy cream create credit creep crime crowd cruel crush cry cup curious current
    curtain curve custom cut cute dad damage dance danger dark date daughter dead deal dear death debate debt decent
    decide deck deep defeat defend define degree delay deliver demand depend describe desert deserve design desk
    destroy detail develop devil die difference different difficult dig dinner direct dirt dirty disappear discover
    discuss disease dish distance divide doctor dog dollar done door double doubt downtown drag drama drank draw
    drawn dream dress drew drift drink drive driven drop drove drum dry duck due dull dumb dunno dust duty ear early
    earn earth ease east easy eat eaten edge education effect effort egg eight elbow elect electric element eleven
    else embarrass emotion empty encourage enemy energy engine english enjoy enormous enter entire equal er error
    escape especially even evening event eventually everybody everyone everything everywhere evidence exact example
    excellent except excite excuse exercise exist exit expect expensive experience explain express extra extreme eye
    face fact fail fair faith fall fallen false familiar family famous fan fancy far farm fast fat father fault
    favour fear feature feed feel feet fell fellow felt female fence few field fierce fifteen fifth fifty fight
    figure fill film final find fine finger finish fire firm first fish fit five fix flag flash flat flesh flew
    flight float flood floor flow flower fly focus fold folk folks follow food fool foot football force foreign
    forest forever forget forgive forgot forgotten form former fortune forty forward fought found four fourth frame
    free freedom fresh friday friend frighten front froze frozen fruit frustrate full fun funny furniture further
    future gain game gap garden gas gate gather gave general gentle gentleman genuine gesture ghost giant gift girl
    given glad glance glass goal god gold golden gone gonna good goodbye goodness gotta government grab grace grade
    grand grandfather grandmother grass grateful grave great green greet grew grey grin grip ground group grow grown
    guarantee guess guest guide guilty gun guy gym habit hair half hall hammer hand handle hang happen happy harbour
    hard harm hat hate head heal health hear heard heart heat heaven heavy heel height held hell hello help hey hid
    hidden hide high hill hint hip hire history hit hmm hold hole holiday home honest honour hope horn horse
    hospital host hot hotel hour house however huge huh human hundred hungry hunt hurry hurt husband ice idea
    identify idle ignore ill imagine immediate impact important impossible impress improve inch include increase
    indeed industry inform injury inner innocent inside instant instead instinct intelligent intend interest
    interval invent invite involve iron island issue item jack jacket jail jelly jewel job join joke journey joy
    judge juice july jump june junior jury justice keen kept kettle key keyboard kick kid kill kind king kiss
    kitchen knee knew knife knives knock know knowledge known label labour lack ladder lads lady laid lake lamp land
    lane language large last late laugh law lawyer lay lazy lead leaf league lean leap learn least leather leave
    leaves led left leg legal lemon lend length lent lesson letter level library lie life lift light like likely
    limit line link lip list listen literally little live liver lives load loan local lock lonely long look loose
    lord lose loss lost lot loud love lovely low loyal luck lucky lunch lung machine mad made magazine magic main
    major male man manage manner many map march mark market marry mass master match mate material matter maximum may
    maybe meal mean meant measure meat medal medicine meet member memory men mental mention mercy mere mess message
    met metal method middle midnight mile milk million mind mine minor minute mirror miss mistake mix mm model
    modern moment monday money month mood moon moral morning mother motion mountain mouse mouth move movie mud mum
    murder muscle museum music mystery nail name narrow nasty nation natural nature near neat neck need neighbour
    nerve nervous network neutral nevertheless new news newspaper next nice night nine nineteen ninety nobody nod
    noise none nonsense nope normal north nose note nothing notice nowhere number nurse obey object obvious occasion
    ocean odd offer office officer official often oh oil old once one ooh open opening operate opinion opponent
    opportunity opposite option orange order ordinary organ original ought outfit outside oven overall own owner
    pace pack page paid pain paint pair pale pan panic paper parent park part particular partner party pass past
    path patience patient pattern pause pay peace pen penny people pepper perfect perform perhaps period person
    phone photo physical piano pick picture piece pig pile pilot pin pipe pitch pity place plain plan plane plant
    plastic plate play please pleasure plenty pocket point poison police polite pool poor popular position positive
    possible post pot potato pound pour power practice practise praise pray precise predict prefer prepare present
    president press pressure pretend pretty prevent price pride prince princess print prison private prize probably
    problem process produce profession professional professor programme progress promise proof proper protect proud
    prove provide public pull pump punish pure purpose push put puzzle quality quarter queen question quick quiet
    quit quite race radio rain raise ran rang range rank rapid rare rate rather reach react read ready real realise
    reality really reason recall receive recent recognise record recover red reduce refer reflect refuse regret
    regular relate relax relief remain remark remember remind remove rent repair repeat replace reply report
    represent request require rescue reserve resist respect respond rest result return reveal reverse review reward
    rhythm rice rich ride right ring rise risen risk river road roar rob rock role roll roof room root rope rose
    rough round route routine row royal rub rubber rubbish rude ruin rule run rush sack sad safe said sail salt same
    sand sang sat satisfy saturday sauce save saw scale scar scare scene school science score scratch scream screen
    sea seal search season seat second secret section secure seem seen sell send sense sensible sent sentence
    separate september series serious serve service session set settle seven several severe sew sex shade shadow
    shake shaken shall shame shape share sharp shave sheep sheet shelf shell shelter shift shine ship shirt shock
    shoe shone shook shoot shop shore short shot shoulder shout show shower shown shut shy sick side sight sign
    signal silence silent silly silver similar simple since sing single sink sir sister sit site situation six
    sixteen sixth sixty size skill skin skip sky sleep slept slice slid slide slight slip slow small smart smash
    smell smile smoke smooth snake snap snow soap society sock soft soil sold soldier solid solution solve somehow
    something sometimes somewhere son song soon sore sorry sort sought soul sound soup south space spare speak
    special speech speed spell spend spent spin spirit spite split spoil spoke spoken sport spot spread spring spun
    square squeeze stab stable staff stage stair stamp stand standard star stare start state station stay steady
    steal steam steel steep stem step stick stiff still stole stolen stomach stone stood stop store storm story
    straight strange stranger street strength stress stretch strict strike string strip stroke strong struck
    struggle stuck student study stuff stupid style subject succeed success such sudden suffer sugar suggest suit
    sum summer sun sunday sung sunk supper supply support suppose sure surface surprise surround survive suspect
    swallow swam sway swear sweat sweep sweet swept swim swing switch sword swore swung system table tail taken
    talent talk tall tank tap target task taste taught tax tea teach team tear technique teeth telephone television
    tell temper temperature ten tend tennis tent term terrible terrify territory test thank theatre theme theory
    therefore thick thief thin third thirsty thirteen thirty thought thousand thread threat threaten three threw
    throat throne through throw thrown thumb thunder thursday ticket tie tight till timing tin tiny tip tire title
    today toe together toilet told tomorrow tongue tonight took tool tooth top tore torn total touch tough tour
    towel tower town toy track trade traffic train transfer trap travel treasure treat tree tremble trial trick trip
    trouble trousers truck true trust truth try tuesday tune tunnel turn twelve twenty twice twin twist two type
    typical ugly uh ultimate um uncle understand understood uniform union unit unless until unusual upper upset
    upstairs urge useful usual valley value van variety various vast vegetable version victory video view village
    violent vision visit voice volume vote wage wait wake walk wall wander wanna war warm warn wash waste watch
    water wave weak weapon wear weather wedding wednesday week weekend weigh weight weird welcome well went west wet
    whatever wheel whenever wherever whether while whisper whistle white whole wicked wide wife wild willing win
    wind window wine wing winter wipe wire wise wish within wives woke woman women won wonder wonderful wood wool
    word wore work world worn worry worse worst worth wound wow wrap wrist write written wrong wrote yard yeah year
    yellow yep yesterday yet yield young youth zero zone
""")
)
"""Words that anybody says anywhere, function words left out: about as many as a learner knows first. From memory, no
source. One that is not among them may be ordinary all the same; one that is among them is no sign of a mishearing."""
