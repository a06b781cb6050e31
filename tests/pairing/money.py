# SPDX-License-Identifier: MIT
"""What a doe with a sire is worth, worked out again from the files of a herd book and the chances that
`rank` prints: DEFINITIONS 7, 8 and 11, nothing else. Faults and traits that a book leaves out are read from
what `start` writes."""
import csv
import datetime
import tomllib

FATES = ("keep", "meat")
SEXES = ("doe", "buck")
SEASON = {
    "kid": {"value_keep": 250.0, "value_meat": 110.0, "litter_size": 1.85, "litter_size_first": 1.48, "survive": 0.90},
    "fate": {"keep": {"doe_kept": 0.8, "buck_kept": 0.0}, "either": {"doe_kept": 0.3, "buck_kept": 0.0},
             "meat": {"doe_kept": 0.0, "buck_kept": 0.0}},
    "open": {"value": 0.0},
    "settle": {"proven": 0.80, "yearling": 0.75, "buck_kid": 0.65, "semen": 0.45, "never": 0.05, "infertile_proven": 0.02,
               "infertile_unproven": 0.05, "heat_noticed": 0.80,
               "cycling": [0.8, 0.5, 0.2, 0.1, 0.1, 0.1, 0.2, 0.5, 0.85, 0.97, 0.97, 0.95]},
    "papers": {"isolation_days": 30},
    "risk": {"loss_per_month": 0.01},
}


def table(folder, name):
    path = folder / name
    if not path.exists():
        return []
    with open(path, newline="", encoding="utf-8") as lines:
        return list(csv.DictReader(lines))


def toml(folder, name):
    path = folder / name
    return tomllib.loads(path.read_text(encoding="utf-8")) if path.exists() else {}


def over(base, own):
    """The book's word where it has one."""
    return {k: over(v, own.get(k, {})) if isinstance(v, dict) else own.get(k, v) for k, v in base.items()} | \
           {k: v for k, v in own.items() if k not in base}


class Season:
    def __init__(self, folder, starter):
        self.faults = {**toml(starter, "faults.toml"), **toml(folder, "faults.toml")}
        self.traits = {**toml(starter, "traits.toml"), **toml(folder, "traits.toml")}
        self.season = over(SEASON, toml(folder, "season.toml"))
        self.does = {r["doe"]: r for r in table(folder, "does.csv")}
        self.sires = {r["sire"]: r for r in table(folder, "sires.csv")}
        self.animals = {r["id"]: r for r in table(folder, "animals.csv")}
        kiddings = table(folder, "kiddings.csv")
        self.dams = {r["dam"] for r in self.animals.values()} | {r["doe"] for r in kiddings}
        self.fathers = {r["sire"] for r in self.animals.values()} | {r.get("sire") for r in kiddings}
        self.fathers |= {r["sire"] for r in table(folder, "possible_sires.csv")}

    # --- settling --------------------------------------------------------------------------------
    def cycling(self, day):
        month = day.month - 1
        if self.season.get("hemisphere", "north") == "south":
            month = (month + 6) % 12
        return self.season["settle"]["cycling"][month]

    def number(self, sire, column, default=0.0):
        text = self.sires[sire].get(column) or ""
        return float(text) if text else default

    def days(self, sire):
        row = self.sires[sire]
        return datetime.date.fromisoformat(row["from"]), datetime.date.fromisoformat(row["to"])

    def conception(self, sire):
        row, settle = self.sires[sire], self.season["settle"]
        if row.get("conception"):
            return float(row["conception"])
        if row["terms"] == "semen":
            c = {"fresh": 0.55, "surgical": 0.65}.get(row.get("semen"), settle["semen"])
        else:
            c = settle[self.age_class(sire)]
        if row.get("served"):
            c = (10 * c + self.number(sire, "settled")) / (10 + self.number(sire, "served"))
        return c

    def age_class(self, sire):
        born = self.animals[sire].get("born") or ""
        if not born:
            return "yearling"
        parts = [int(x) for x in born.split("-")]
        year, month = parts[0], parts[1] if len(parts) > 1 else 12
        day = parts[2] if len(parts) > 2 else 31 if month == 12 else (datetime.date(year, month + 1, 1) - datetime.timedelta(days=1)).day
        first, _ = self.days(sire)
        months = (first.year - year) * 12 + first.month - month - (first.day < day)
        return "buck_kid" if months < 12 else "yearling" if months < 24 else "proven"

    def infertile(self, sire):
        proven = sire in self.fathers or self.number(sire, "settled") >= 1
        return self.season["settle"]["infertile_proven" if proven else "infertile_unproven"]

    def settling(self, sire):
        """(settle_probability, expected trips or inseminations)."""
        settle = self.season["settle"]
        b, f, h = settle["never"], self.infertile(sire), settle["heat_noticed"]
        c = min(1.0, self.conception(sire) / (1 - b))
        first, last = self.days(sire)
        terms = self.sires[sire]["terms"]
        if terms in ("visit", "semen"):
            m = 2 if terms == "visit" else 1
            share = self.cycling(first)
            p = (1 - b) * (1 - f) * share * (1 - (1 - h * c) ** m)
            return p, share * h * sum(1 - (1 - b) * (1 - f) * (1 - (1 - h * c) ** j) for j in range(m))
        stay = [first + datetime.timedelta(days=t) for t in range((last - first).days + 1)]
        shares = [self.cycling(day) for day in stay]
        levels, p = [0.0] + sorted(set(shares)), 0.0
        for below, level in zip(levels, levels[1:]):
            for t, share in enumerate(shares):
                if share < level:
                    continue
                still_open = 1.0
                for k in range(t - 21, -1, -21):
                    still_open *= 1 - c * (shares[k] >= level)
                p += (level - below) / 21 * c * still_open
        return (1 - b) * (1 - f) * p, 0.0

    # --- costs -----------------------------------------------------------------------------------
    def hire_cost(self, sire):
        n, terms = lambda column: self.number(sire, column), self.sires[sire]["terms"]
        if terms in ("visit", "semen"):
            return n("fee")
        first, last = self.days(sire)
        days = (last - first).days + 1 + (self.season["papers"]["isolation_days"] if terms == "hired" else 0)
        lost = 1 - (1 - self.season["risk"]["loss_per_month"]) ** (days / 30.4375)
        return n("fee") + n("haul") + n("tests_cost") + n("cost_per_day") * days + n("value_if_lost") * lost

    def doe_cost(self, sire):
        n, trips = lambda column: self.number(sire, column), self.settling(sire)[1]
        terms = self.sires[sire]["terms"]
        if terms == "visit":
            return n("fee_per_doe") + (n("haul") + n("cost_per_day")) * trips
        return n("fee_per_doe") * (trips if terms == "semen" else 1)

    def kids(self, doe):
        kid = self.season["kid"]
        return kid["litter_size" if doe in self.dams else "litter_size_first"] * kid["survive"]

    def kids_for(self, doe):
        return self.does[doe].get("kids_for") or "either"

    def fates(self, answer):
        """Of each doe, keepers_wanted worked in: {doe: {doe_kept, buck_kept}}."""
        fate = {k: dict(v) for k, v in self.season["fate"].items()}
        wanted = self.season.get("keepers_wanted")
        if wanted is not None:
            expected = 0.0
            for entry in answer:
                if self.kids_for(entry["doe"]) != "keep" or entry["fit"] in ("wait", "no"):
                    continue
                chances = [self.settling(s["sire"])[0] for s in entry["sires"] if s["verdict"] != "avoid"]
                expected += self.kids(entry["doe"]) / 2 * max(chances, default=0.0)
            fate["keep"]["doe_kept"] = min(1.0, wanted / expected) if expected > 0 else 1.0
        return {entry["doe"]: fate[self.kids_for(entry["doe"])] for entry in answer}

    # --- one kid ---------------------------------------------------------------------------------
    def kid(self, pair, fate):
        """Parts of one weaned kid: {"kids", "merit", "inbreeding", "faults"} and the cost of each fault."""
        money = self.season["kid"]
        base = {"keep": money["value_keep"], "meat": money["value_meat"]}
        parts = dict.fromkeys(("kids", "merit", "inbreeding", "faults"), 0.0)
        each = {f["fault"]: 0.0 for f in pair["faults"]}
        gap = max(0.0, base["keep"] - base["meat"])
        for sex in SEXES:
            kept = fate["doe_kept" if sex == "doe" else "buck_kept"]
            shows = {f["fault"]: self.shows(f, sex) for f in pair["faults"]}
            lethal = [k for k in shows if "lethal_by_days" in self.faults[k]]
            together = [k for k in shows if k not in lethal and not {"cost_shown_keep", "cost_keep"} & self.faults[k].keys()]
            lives = self.none_of(shows, lethal)
            for fate_name, share in (("keep", kept), ("meat", 1 - kept)):
                w = 0.5 * share
                merit, inbreeding = self.merit(pair, sex, fate_name)
                parts["kids"] += w * base[fate_name]
                parts["merit"] += w * merit
                parts["inbreeding"] += w * inbreeding
                self.spread(each, shows, lethal, w * (1 - lives) * max(0.0, base[fate_name] + merit + inbreeding))
                if fate_name == "keep":
                    self.spread(each, shows, together, w * lives * gap * (1 - self.none_of(shows, together)))
                for f in pair["faults"]:
                    if f["fault"] not in lethal:
                        each[f["fault"]] += w * lives * self.price(f, sex, fate_name)
                    if fate_name == "keep" and f["carrier_" + sex] is not None:
                        each[f["fault"]] += w * lives * f["carrier_" + sex] * self.faults[f["fault"]].get("cost_carried", 0.0)
        parts["faults"] = -sum(each.values())
        return parts, each

    def wanted(self, fault):
        entry = self.faults[fault]
        grades = entry.get("grades", ["no", "yes"])
        return grades.index(entry.get("wanted", grades[0]))

    def shows(self, fault, sex):
        grades = fault["grades"][sex]
        return 1 - grades[self.wanted(fault["fault"])] if grades else 0.0

    def none_of(self, shows, faults):
        product = 1.0
        for k in faults:
            product *= 1 - shows[k]
        return product

    def spread(self, each, shows, faults, charge):
        total = sum(shows[k] for k in faults)
        for k in faults:
            if total > 0:
                each[k] += charge * shows[k] / total

    def price(self, fault, sex, fate):
        entry = self.faults[fault["fault"]]
        if "cost_" + fate in entry:
            return sum(p * c for p, c in zip(fault["grades"][sex], entry["cost_" + fate]))
        return entry.get("cost_shown_" + fate, 0.0) * self.shows(fault, sex)

    def merit(self, pair, sex, fate):
        merit = inbreeding = 0.0
        for t in pair["merit"]:
            entry = self.traits[t["trait"]]
            value = entry.get("value_" + fate, 0.0)
            if fate == "keep" and sex == "buck" and entry.get("shown_by", "both") == "does":
                continue
            merit += value * (t["sire"] + t["dam"]) / 2
            inbreeding += value * entry.get("per_percent_inbreeding", 0.0) * 100 * pair["kid_inbreeding_used"]
        return merit, inbreeding
