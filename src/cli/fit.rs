pub(super) fn run(args: &Args, columns: usize) -> Result<Delivery, Error> {
    let (options, units) = (args.show.figures.options(), args.show.figures.units);
    let rider = args.rider.rider(options.on)?;
    let bike = input::bike(&args.frame)?;
    let fit = assess(&rider, &bike, &options);
    let outcome = Outcome::of(args.strict, fit.verdict.fits());
    let picture = draw::side_view(&fit, units);
    let object = || contract::fit(&fit, units);
    let report = |layout| text::fit(&fit, layout);
    let delivery = Delivery::of(outcome, object, report, &args.show, columns)?;
    Ok(delivery
        .read_from(args.rider.file().chain([args.frame.as_path()]))
        .with_picture(&args.show.out, &bike.id, picture.svg))
}
