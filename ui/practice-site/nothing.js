// Stands in the practice site for parts of the bench that its link has no use for.
export default function nothing() {}
