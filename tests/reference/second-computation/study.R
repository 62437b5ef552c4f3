# A second computation of the study figures, apart from the program: base R, written from the definitions alone.
#
# Rscript study.R FOLDER > r-figures.csv
# FOLDER holds readings.csv, limits.csv, tools.csv, events.csv, shifts.csv (to-csv.ts). Which reading is a first try is
# taken from the export; everything else is computed here from the readings as recorded.
options(digits = 17, scipen = 300)
folder <- commandArgs(TRUE)[1]
read <- function(n) read.csv(file.path(folder, n), stringsAsFactors = FALSE, colClasses = "character", na.strings = "")
R <- read("readings.csv"); L <- read("limits.csv"); Tl <- read("tools.csv"); E <- read("events.csv"); S <- read("shifts.csv")
factor_nm <- c("N.m" = 1, "lbf.ft" = 1.3558179483314004, "lbf.in" = 0.1129848290276167, "ozf.in" = 0.00706155181422604375,
  "kgf.m" = 9.80665, "kgf.cm" = 0.0980665, "daN.m" = 10, "dN.m" = 0.1, "cN.m" = 0.01, "N.cm" = 0.01, "N.mm" = 0.001, "kN.m" = 1000)
when <- function(t) as.numeric(as.POSIXct(ifelse(nchar(t) == 10, paste0(t, "T00:00:00"), t), format = "%Y-%m-%dT%H:%M:%OS", tz = "UTC"))
minute <- function(t) as.integer(substr(t, 1, 2)) * 60 + as.integer(substr(t, 4, 5))
num <- as.numeric
z <- qnorm(.975)

# the shift occurrence of a time: name and the day it starts on; else the day; without a time: one block
block <- function(at) {
  sec <- when(at); day <- floor(sec / 86400); m <- floor((sec - day * 86400) / 60); out <- paste(day, "outside")
  found <- rep(FALSE, length(at))
  for (k in seq_len(nrow(S))) {
    a <- minute(S$start[k]); b <- minute(S$end[k]); before <- 0
    if (b > a) hit <- m >= a & m < b else { hit <- m >= a | m < b; before <- ifelse(m < b, 1, 0) }
    hit <- hit & !found & nchar(at) > 10 & !is.na(sec); hit[is.na(hit)] <- FALSE
    out[hit] <- paste(day - before, S$name[k])[hit]; found <- found | hit
  }
  out[is.na(sec)] <- "no time"; out
}

d2of <- function(n) integrate(function(x) 1 - pnorm(x)^n - pnorm(x, lower.tail = FALSE)^n, -Inf, Inf, rel.tol = 1e-12)$value
d3of <- function(n) {
  cdf <- function(r) sapply(r, function(q) n * integrate(function(a) dnorm(a) * (pnorm(a + q) - pnorm(a))^(n - 1), -Inf, Inf, rel.tol = 1e-11)$value)
  m1 <- integrate(function(r) 1 - cdf(r), 0, 15, rel.tol = 1e-10)$value; m2 <- integrate(function(r) 2 * r * (1 - cdf(r)), 0, 15, rel.tol = 1e-10)$value
  sqrt(m2 - m1^2)
}
d2 <- d3 <- NULL; for (n in 2:5) { d2[n] <- d2of(n); d3[n] <- d3of(n) }
c4 <- function(n) sqrt(2 / (n - 1)) * exp(lgamma(n / 2) - lgamma((n - 1) / 2))

out <- function(joint, within, figure, value) cat(paste(c(dQuote(joint, FALSE), within, figure, trimws(formatC(value, digits = 17, format = "g"))), collapse = ","), "\n", sep = "")
interval <- function(j, w, name, v, lo, hi) { out(j, w, name, v); out(j, w, paste0(name, ".low95"), lo); out(j, w, paste0(name, ".high95"), hi) }
chi <- function(v, nu) v * sqrt(qchisq(c(.025, .975), nu) / nu)
bis <- function(v, n, nu) v + c(-1, 1) * z * sqrt(1 / (9 * n) + v^2 / (2 * nu))

cat("# md5 of readings.csv: ", unname(tools::md5sum(file.path(folder, "readings.csv"))), "; ", R.version.string, "\n", sep = "")
cat("joint,within,figure,value\n")
for (j in unique(L$joint)) {
  lim <- L[L$joint == j, ]; from <- when(lim$from); lim <- lim[order(from), ]; from <- sort(from)
  r <- R[R$joint == j & !is.na(R$attempt) & R$attempt == "1" & !is.na(R$torque), ]
  if (nrow(r) == 0) next
  at <- when(r$at)
  rev <- sapply(at, function(t) if (is.na(t)) { if (nrow(lim) == 1) 1 else NA } else { k <- sum(from <= t); if (k == 0) NA else k })
  scope <- R[R$joint == j & !is.na(R$attempt), ]; sat <- when(scope$at)
  newest <- max(sapply(sat, function(t) if (is.na(t)) { if (nrow(lim) == 1) 1 else 0 } else sum(from <= t)))
  if (newest < 1) next
  low <- num(lim$low[newest]); target <- num(lim$target[newest]); high <- num(lim$high[newest]); unit <- lim$unit[newest]
  same <- function(a, b) (is.na(a) & is.na(b)) | (!is.na(a) & !is.na(b) & a == b)
  fits <- same(num(lim$low), low) & same(num(lim$target), target) & same(num(lim$high), high) & lim$unit == unit
  use <- !is.na(rev) & fits[pmax(1, rev)]
  r <- r[use, ]; at <- at[use]; rev <- rev[use]
  x <- abs(num(r$torque)); x <- ifelse(r$unit == unit, x, x * factor_nm[r$unit] / factor_nm[unit])
  stratum <- paste(r$tool, rev, block(r$at)); left <- r$excluded == "1"
  # groups of five from the start of each stratum, before exclusions
  g <- rep(NA_integer_, length(x)); last <- 0
  for (s in unique(stratum)) { i <- which(stratum == s); k <- length(i) %/% 5; if (k > 0) { g[i[1:(5 * k)]] <- last + rep(seq_len(k), each = 5); last <- last + k } }
  leftover <- sum(is.na(g)); groups <- last
  events <- mapply(function(t, a) sum(when(E$at[E$serial == t]) <= a), r$tool, at); events <- unlist(lapply(events, function(v) if (is.na(v)) 0 else v))
  run <- paste(r$tool, rev, events)
  x <- x[!left]; g <- g[!left]; run <- run[!left]; at <- at[!left]; tool <- r$tool[!left]; n <- length(x)
  m <- mean(x); s <- sd(x)
  out(j, "", "n", n); out(j, "", "groups", groups); out(j, "", "leftOver", leftover); out(j, "", "mean", m); out(j, "", "median", median(x)); out(j, "", "overall", s)
  if (n < 25) next
  two <- !is.na(low) && !is.na(high); ratio <- function(mu, sg) min(c((high - mu) / (3 * sg), (mu - low) / (3 * sg)), na.rm = TRUE)
  v <- ratio(m, s); ci <- bis(v, n, n - 1); interval(j, "", "Ppk", v, ci[1], ci[2])
  if (two) {
    v <- (high - low) / (6 * s); ci <- chi(v, n - 1); interval(j, "", "Pp", v, ci[1], ci[2])
    if (!is.na(target) && abs(target - (low + high) / 2) <= 1e-9 * (high - low) / 2) { v <- (high - low) / (6 * sqrt(s^2 + (m - target)^2)); xi <- (m - target) / s; nu <- n * (1 + xi^2)^2 / (1 + 2 * xi^2); ci <- chi(v, nu); interval(j, "", "Cpm", v, ci[1], ci[2]) }
  }
  G <- split(x, g); G <- G[lengths(G) >= 2]; ni <- lengths(G); k <- length(G)
  sigmas <- list()
  if (k > 0) {
    sigmas$pooled <- c(sqrt(sum((ni - 1) * sapply(G, var)) / sum(ni - 1)), sum(ni - 1))
    sigmas$`s-bar` <- c(mean(sapply(G, sd) / c4(ni)), k^2 / (2 * sum((1 - c4(ni)^2) / c4(ni)^2)))
    sigmas$`r-bar` <- c(mean(sapply(G, function(v) diff(range(v))) / d2[ni]), k^2 / (2 * sum((d3[ni] / d2[ni])^2)))
  }
  runs <- split(x, factor(run, unique(run))); mr <- unlist(lapply(runs, function(v) abs(diff(v)))); mm <- length(mr); nr <- sum(lengths(runs) >= 2)
  V <- (mm * (2 - 4 / pi) + 2 * (mm - nr) * (4 / pi) * (sqrt(3) / 2 + pi / 12 - 1)) * pi / (4 * mm^2)
  sigmas$`mr-bar` <- c(mean(mr) * sqrt(pi) / 2, 1 / (2 * V)); sigmas$`mr-median` <- c(median(mr) / (sqrt(2) * qnorm(.75)), .314 * mm)
  for (w in names(sigmas)) {
    sg <- sigmas[[w]][1]; nu <- sigmas[[w]][2]; out(j, w, "within", sg); out(j, w, "nu", nu)
    v <- ratio(m, sg); ci <- bis(v, n, nu); interval(j, w, "Cpk", v, ci[1], ci[2])
    if (two) { v <- (high - low) / (6 * sg); ci <- chi(v, nu); interval(j, w, "Cp", v, ci[1], ci[2]) }
  }
  # control chart of means, EWMA of the plotted points
  if (k >= 10) {
    Gm <- split(x, g); mu <- sapply(Gm, mean); nn <- lengths(Gm); centre <- sum(mu * nn) / sum(nn); sg <- sigmas$pooled[1]
    out(j, "pooled", "center", centre); out(j, "pooled", "lower", centre - 3 * sg / sqrt(5)); out(j, "pooled", "upper", centre + 3 * sg / sqrt(5))
    out(j, "pooled", "beyond", sum(abs(mu - centre) > 3 * sg / sqrt(nn)))
  }
  # normality, share outside, the tool's permitted error
  y <- sort(x); i <- seq_len(n); lp <- pnorm((y - m) / s, log.p = TRUE); lq <- pnorm((y - m) / s, lower.tail = FALSE, log.p = TRUE)
  out(j, "", "A2", -n - mean((2 * i - 1) * (lp + rev(lq))))
  if (n <= 5000) out(j, "", "W", unname(shapiro.test(x)$statistic))
  outside <- sum((!is.na(low) & x < low - 1e-9 * abs(low)) | (!is.na(high) & x > high + 1e-9 * abs(high)), na.rm = TRUE)
  cp <- c(if (outside == 0) 0 else qbeta(.025, outside, n - outside + 1), if (outside == n) 1 else qbeta(.975, outside + 1, n - outside))
  interval(j, "", "observed", outside, cp[1], cp[2])
  zL <- if (is.na(low)) Inf else (m - low) / s; zU <- if (is.na(high)) Inf else (high - m) / s; p <- pnorm(-zL) + pnorm(-zU)
  if (p > 0 && p < 1) { q <- -qnorm(p); tt <- sum(c(dnorm(zL) * ifelse(is.finite(zL), zL, 0), dnorm(zU) * ifelse(is.finite(zU), zU, 0))); h <- z * sqrt((dnorm(zU) - dnorm(zL))^2 / n + tt^2 / (2 * (n - 1))) / dnorm(q); interval(j, "", "expectedPpm", 1e6 * p, 1e6 * pnorm(-(q + h)), 1e6 * pnorm(-(q - h))) }
  a <- num(Tl$permissible[match(tool, Tl$serial)]) / 100
  if (!anyNA(a)) { e <- function(k) { v <- x / k; ratio(mean(v), sd(v)) }; out(j, "", "ppkAtPermittedError", min(e(1 + a), e(1 - a))) }
  # two other models by maximum likelihood
  if (all(x > 0)) {
    lx <- log(x); ml <- mean(lx); sl <- sqrt(mean((lx - ml)^2)); qs <- qlnorm(c(.00135, .5, .99865), ml, sl)
    pk <- min(c((high - qs[2]) / (qs[3] - qs[2]), (qs[2] - low) / (qs[2] - qs[1])), na.rm = TRUE); out(j, "lognormal", "meanlog", ml); out(j, "lognormal", "sdlog", sl); out(j, "lognormal", "Ppk", pk)
    f <- function(k) { w <- exp(k * (lx - max(lx))); sum(w * lx) / sum(w) - 1 / k - ml }
    k1 <- uniroot(f, c(.1, 1e5), tol = 1e-13)$root; sc <- exp(max(lx)) * mean(exp(k1 * (lx - max(lx))))^(1 / k1); qs <- qweibull(c(.00135, .5, .99865), k1, sc)
    pk <- min(c((high - qs[2]) / (qs[3] - qs[2]), (qs[2] - low) / (qs[2] - qs[1])), na.rm = TRUE); out(j, "weibull", "shape", k1); out(j, "weibull", "scale", sc); out(j, "weibull", "Ppk", pk)
  }
}
