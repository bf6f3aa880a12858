package org.tarebook.check;

/** What the checks around a moment say of a reading measured then. */
public enum Verification {
  /** The instrument was left right before and found right afterwards. */
  CLEARED,
  /** It was left wrong before, or found wrong afterwards. */
  SUSPECT,
  /** Nothing is known against it, but one of the two checks is missing. */
  UNVERIFIED
}
