package org.tarebook.cure;

import io.swagger.v3.oas.annotations.media.Schema;

/** What is judged of a cavity. What is proven comes before what is not known. */
@Schema(name = "CureResult")
public enum CureVerdict {
  GOOD,
  /** Something that is needed is missing or cannot be believed. */
  NOT_JUDGED,
  /** Something was proven to be outside what is wanted. */
  NOT_GOOD
}
