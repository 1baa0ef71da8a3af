-- CreateSchema
CREATE SCHEMA IF NOT EXISTS "public";

-- CreateTable
CREATE TABLE "organisation" (
    "id" UUID NOT NULL,
    "name" TEXT NOT NULL,
    "kind" TEXT NOT NULL,
    "version" INTEGER NOT NULL DEFAULT 1,
    "created_at" TIMESTAMPTZ(3) NOT NULL,

    CONSTRAINT "organisation_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "person" (
    "id" UUID NOT NULL,
    "email" TEXT NOT NULL,
    "display_name" TEXT NOT NULL,
    "password_hash" TEXT NOT NULL,
    "created_at" TIMESTAMPTZ(3) NOT NULL,
    "disabled_at" TIMESTAMPTZ(3),

    CONSTRAINT "person_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "membership" (
    "org_id" UUID NOT NULL,
    "person_id" UUID NOT NULL,
    "roles" TEXT[],
    "version" INTEGER NOT NULL DEFAULT 1,
    "created_at" TIMESTAMPTZ(3) NOT NULL,
    "ended_at" TIMESTAMPTZ(3),

    CONSTRAINT "membership_pkey" PRIMARY KEY ("org_id","person_id")
);

-- CreateTable
CREATE TABLE "invitation" (
    "id" UUID NOT NULL,
    "org_id" UUID NOT NULL,
    "email" TEXT NOT NULL,
    "roles" TEXT[],
    "token_hash" TEXT NOT NULL,
    "invited_by" UUID NOT NULL,
    "created_at" TIMESTAMPTZ(3) NOT NULL,
    "expires_at" TIMESTAMPTZ(3) NOT NULL,
    "accepted_at" TIMESTAMPTZ(3),
    "revoked_at" TIMESTAMPTZ(3),

    CONSTRAINT "invitation_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "password_reset" (
    "id" UUID NOT NULL,
    "org_id" UUID NOT NULL,
    "person_id" UUID NOT NULL,
    "token_hash" TEXT NOT NULL,
    "created_by" UUID NOT NULL,
    "created_at" TIMESTAMPTZ(3) NOT NULL,
    "expires_at" TIMESTAMPTZ(3) NOT NULL,
    "used_at" TIMESTAMPTZ(3),

    CONSTRAINT "password_reset_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "session" (
    "id" UUID NOT NULL,
    "person_id" UUID NOT NULL,
    "created_at" TIMESTAMPTZ(3) NOT NULL,
    "last_used_at" TIMESTAMPTZ(3) NOT NULL,
    "expires_at" TIMESTAMPTZ(3) NOT NULL,
    "ended_at" TIMESTAMPTZ(3),
    "end_reason" TEXT,
    "client" TEXT NOT NULL DEFAULT '',

    CONSTRAINT "session_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "refresh_token" (
    "token_hash" TEXT NOT NULL,
    "session_id" UUID NOT NULL,
    "issued_at" TIMESTAMPTZ(3) NOT NULL,
    "expires_at" TIMESTAMPTZ(3) NOT NULL,
    "spent_at" TIMESTAMPTZ(3),

    CONSTRAINT "refresh_token_pkey" PRIMARY KEY ("token_hash")
);

-- CreateTable
CREATE TABLE "api_key" (
    "id" UUID NOT NULL,
    "org_id" UUID NOT NULL,
    "person_id" UUID NOT NULL,
    "name" TEXT NOT NULL,
    "key_hash" TEXT NOT NULL,
    "scopes" TEXT[],
    "created_at" TIMESTAMPTZ(3) NOT NULL,
    "expires_at" TIMESTAMPTZ(3) NOT NULL,
    "last_used_at" TIMESTAMPTZ(3),
    "revoked_at" TIMESTAMPTZ(3),

    CONSTRAINT "api_key_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "signing_key" (
    "kid" TEXT NOT NULL,
    "public_jwk" TEXT NOT NULL,
    "private_jwk" TEXT NOT NULL,
    "created_at" TIMESTAMPTZ(3) NOT NULL,
    "signs_from" TIMESTAMPTZ(3) NOT NULL,
    "signs_until" TIMESTAMPTZ(3) NOT NULL,
    "shown_until" TIMESTAMPTZ(3) NOT NULL,

    CONSTRAINT "signing_key_pkey" PRIMARY KEY ("kid")
);

-- CreateTable
CREATE TABLE "venue" (
    "id" UUID NOT NULL,
    "venue_org_id" UUID NOT NULL,
    "name" TEXT NOT NULL,
    "place" TEXT NOT NULL,
    "time_zone" TEXT NOT NULL,
    "contact_role" TEXT NOT NULL,
    "version" INTEGER NOT NULL DEFAULT 1,
    "created_at" TIMESTAMPTZ(3) NOT NULL,

    CONSTRAINT "venue_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "space" (
    "id" UUID NOT NULL,
    "venue_id" UUID NOT NULL,
    "venue_org_id" UUID NOT NULL,
    "name" TEXT NOT NULL,
    "exposure" TEXT NOT NULL,
    "opened" BOOLEAN NOT NULL DEFAULT false,
    "version" INTEGER NOT NULL DEFAULT 1,
    "created_at" TIMESTAMPTZ(3) NOT NULL,

    CONSTRAINT "space_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "space_lock" (
    "space_id" UUID NOT NULL,
    "venue_org_id" UUID NOT NULL,
    "version" BIGINT NOT NULL DEFAULT 0,
    "holder_xid" BIGINT NOT NULL DEFAULT 0,
    "commitment_count" INTEGER NOT NULL DEFAULT 0,
    "latest_revision" INTEGER NOT NULL DEFAULT 0,
    "latest_sha256" TEXT,
    "engineer_above_kg" DOUBLE PRECISION,

    CONSTRAINT "space_lock_pkey" PRIMARY KEY ("space_id")
);

-- CreateTable
CREATE TABLE "structure" (
    "space_id" UUID NOT NULL,
    "venue_org_id" UUID NOT NULL,
    "version" INTEGER NOT NULL DEFAULT 1,
    "policy" JSONB,

    CONSTRAINT "structure_pkey" PRIMARY KEY ("space_id")
);

-- CreateTable
CREATE TABLE "structure_item" (
    "space_id" UUID NOT NULL,
    "kind" TEXT NOT NULL,
    "id" UUID NOT NULL,
    "venue_org_id" UUID NOT NULL,
    "label_key" TEXT NOT NULL,
    "body" JSONB NOT NULL,
    "version" INTEGER NOT NULL DEFAULT 1,
    "updated_by" UUID NOT NULL,
    "updated_at" TIMESTAMPTZ(3) NOT NULL,

    CONSTRAINT "structure_item_pkey" PRIMARY KEY ("space_id","kind","id")
);

-- CreateTable
CREATE TABLE "revision" (
    "space_id" UUID NOT NULL,
    "number" INTEGER NOT NULL,
    "venue_org_id" UUID NOT NULL,
    "bytes" TEXT NOT NULL,
    "sha256" TEXT NOT NULL,
    "policy_sha256" TEXT NOT NULL,
    "note" TEXT NOT NULL,
    "author_id" UUID NOT NULL,
    "author_name" TEXT NOT NULL,
    "published_at" TIMESTAMPTZ(3) NOT NULL,

    CONSTRAINT "revision_pkey" PRIMARY KEY ("space_id","number")
);

-- CreateTable
CREATE TABLE "import_file" (
    "id" UUID NOT NULL,
    "space_id" UUID NOT NULL,
    "venue_org_id" UUID NOT NULL,
    "kind" TEXT NOT NULL,
    "file_name" TEXT NOT NULL,
    "bytes" BYTEA NOT NULL,
    "options" JSONB NOT NULL,
    "version" INTEGER NOT NULL DEFAULT 1,
    "created_by" UUID NOT NULL,
    "created_at" TIMESTAMPTZ(3) NOT NULL,
    "applied_at" TIMESTAMPTZ(3),

    CONSTRAINT "import_file_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "space_access" (
    "id" UUID NOT NULL,
    "space_id" UUID NOT NULL,
    "venue_org_id" UUID NOT NULL,
    "tour_org_id" UUID NOT NULL,
    "state" TEXT NOT NULL,
    "note" TEXT NOT NULL,
    "reply" TEXT NOT NULL DEFAULT '',
    "requested_by" UUID NOT NULL,
    "requested_at" TIMESTAMPTZ(3) NOT NULL,
    "decided_by" UUID,
    "decided_at" TIMESTAMPTZ(3),
    "ends_at" TIMESTAMPTZ(3),
    "version" INTEGER NOT NULL DEFAULT 1,

    CONSTRAINT "space_access_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "production" (
    "id" UUID NOT NULL,
    "tour_org_id" UUID NOT NULL,
    "name" TEXT NOT NULL,
    "version" INTEGER NOT NULL DEFAULT 1,
    "created_at" TIMESTAMPTZ(3) NOT NULL,

    CONSTRAINT "production_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "show" (
    "id" UUID NOT NULL,
    "production_id" UUID NOT NULL,
    "tour_org_id" UUID NOT NULL,
    "venue_org_id" UUID NOT NULL,
    "space_id" UUID NOT NULL,
    "name" TEXT NOT NULL,
    "starts_at" TIMESTAMPTZ(3) NOT NULL,
    "ends_at" TIMESTAMPTZ(3) NOT NULL,
    "calls" JSONB NOT NULL,
    "shared_at" TIMESTAMPTZ(3),
    "version" INTEGER NOT NULL DEFAULT 1,
    "created_at" TIMESTAMPTZ(3) NOT NULL,

    CONSTRAINT "show_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "proposal" (
    "id" UUID NOT NULL,
    "show_id" UUID NOT NULL,
    "production_id" UUID NOT NULL,
    "tour_org_id" UUID NOT NULL,
    "venue_org_id" UUID NOT NULL,
    "space_id" UUID NOT NULL,
    "name" TEXT NOT NULL,
    "commitment_ref" UUID NOT NULL,
    "state" TEXT NOT NULL,
    "stale" BOOLEAN NOT NULL DEFAULT false,
    "stale_reasons" TEXT[] DEFAULT ARRAY[]::TEXT[],
    "suspended" BOOLEAN NOT NULL DEFAULT false,
    "suspension_reason" TEXT,
    "version" INTEGER NOT NULL DEFAULT 1,
    "submission_count" INTEGER NOT NULL DEFAULT 0,
    "starts_at" TIMESTAMPTZ(3) NOT NULL,
    "ends_at" TIMESTAMPTZ(3) NOT NULL,
    "standing_yes_id" UUID,
    "decider_id" UUID,
    "handover_to" UUID,
    "working_plan_sha256" TEXT NOT NULL,
    "last_editor_id" UUID NOT NULL,
    "last_submitter_id" UUID,
    "turn_since" TIMESTAMPTZ(3) NOT NULL,
    "created_at" TIMESTAMPTZ(3) NOT NULL,

    CONSTRAINT "proposal_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "plan_draft" (
    "proposal_id" UUID NOT NULL,
    "tour_org_id" UUID NOT NULL,
    "bytes" TEXT NOT NULL,
    "sha256" TEXT NOT NULL,
    "editor_ids" UUID[],
    "updated_by" UUID NOT NULL,
    "updated_at" TIMESTAMPTZ(3) NOT NULL,

    CONSTRAINT "plan_draft_pkey" PRIMARY KEY ("proposal_id")
);

-- CreateTable
CREATE TABLE "plan_submission" (
    "proposal_id" UUID NOT NULL,
    "number" INTEGER NOT NULL,
    "tour_org_id" UUID NOT NULL,
    "venue_org_id" UUID NOT NULL,
    "space_id" UUID NOT NULL,
    "plan_bytes" TEXT NOT NULL,
    "plan_sha256" TEXT NOT NULL,
    "revision_number" INTEGER NOT NULL,
    "starts_at" TIMESTAMPTZ(3) NOT NULL,
    "ends_at" TIMESTAMPTZ(3) NOT NULL,
    "note" TEXT NOT NULL,
    "submitted_by" UUID NOT NULL,
    "submitter_name" TEXT NOT NULL,
    "editor_ids" UUID[],
    "submitted_at" TIMESTAMPTZ(3) NOT NULL,

    CONSTRAINT "plan_submission_pkey" PRIMARY KEY ("proposal_id","number")
);

-- CreateTable
CREATE TABLE "assessment" (
    "id" UUID NOT NULL,
    "proposal_id" UUID NOT NULL,
    "submission_number" INTEGER NOT NULL,
    "tour_org_id" UUID NOT NULL,
    "venue_org_id" UUID NOT NULL,
    "sequence" INTEGER NOT NULL,
    "cause" TEXT NOT NULL,
    "assessment_hash" TEXT NOT NULL,
    "outcome_hash" TEXT NOT NULL,
    "revision_number" INTEGER NOT NULL,
    "engine" TEXT NOT NULL,
    "verdict" TEXT NOT NULL,
    "worst_utilisation" DOUBLE PRECISION,
    "total_kg" DOUBLE PRECISION NOT NULL,
    "facts" TEXT NOT NULL,
    "bytes" BYTEA NOT NULL,
    "created_at" TIMESTAMPTZ(3) NOT NULL,

    CONSTRAINT "assessment_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "decision" (
    "id" UUID NOT NULL,
    "proposal_id" UUID NOT NULL,
    "submission_number" INTEGER NOT NULL,
    "tour_org_id" UUID NOT NULL,
    "venue_org_id" UUID NOT NULL,
    "sequence" INTEGER NOT NULL,
    "answer" TEXT NOT NULL,
    "capacity" TEXT NOT NULL,
    "assessment_id" UUID NOT NULL,
    "assessment_hash" TEXT NOT NULL,
    "covered" TEXT NOT NULL,
    "conditions" TEXT NOT NULL,
    "ticks" TEXT NOT NULL,
    "reason" TEXT NOT NULL,
    "decided_by" UUID NOT NULL,
    "decider_name" TEXT NOT NULL,
    "decided_at" TIMESTAMPTZ(3) NOT NULL,
    "valid_until" TIMESTAMPTZ(3),

    CONSTRAINT "decision_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "check_override" (
    "id" UUID NOT NULL,
    "proposal_id" UUID NOT NULL,
    "submission_number" INTEGER NOT NULL,
    "tour_org_id" UUID NOT NULL,
    "venue_org_id" UUID NOT NULL,
    "subject" TEXT NOT NULL,
    "subject_ids" TEXT[],
    "outcome_hash" TEXT NOT NULL,
    "reason" TEXT NOT NULL,
    "asked_by" UUID NOT NULL,
    "asker_name" TEXT NOT NULL,
    "asker_is_engineer" BOOLEAN NOT NULL,
    "asked_at" TIMESTAMPTZ(3) NOT NULL,
    "confirmed_by" UUID,
    "confirmer_name" TEXT,
    "confirmed_at" TIMESTAMPTZ(3),

    CONSTRAINT "check_override_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "comment" (
    "id" UUID NOT NULL,
    "proposal_id" UUID NOT NULL,
    "tour_org_id" UUID NOT NULL,
    "venue_org_id" UUID NOT NULL,
    "pin_kind" TEXT NOT NULL,
    "pin_id" TEXT,
    "text" TEXT NOT NULL,
    "blocking" BOOLEAN NOT NULL,
    "author_id" UUID NOT NULL,
    "author_org" UUID NOT NULL,
    "author_name" TEXT NOT NULL,
    "created_at" TIMESTAMPTZ(3) NOT NULL,
    "resolved_by" UUID,
    "resolved_at" TIMESTAMPTZ(3),
    "version" INTEGER NOT NULL DEFAULT 1,

    CONSTRAINT "comment_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "commitment" (
    "id" UUID NOT NULL,
    "space_id" UUID NOT NULL,
    "venue_org_id" UUID NOT NULL,
    "ref" UUID NOT NULL,
    "status" TEXT NOT NULL,
    "plan_sha256" TEXT NOT NULL,
    "hang_id" UUID NOT NULL,
    "point_id" UUID NOT NULL,
    "from_at" TIMESTAMPTZ(3) NOT NULL,
    "to_at" TIMESTAMPTZ(3) NOT NULL,
    "resting_x_kn" DOUBLE PRECISION NOT NULL,
    "resting_y_kn" DOUBLE PRECISION NOT NULL,
    "resting_kn" DOUBLE PRECISION NOT NULL,
    "moving_x_kn" DOUBLE PRECISION NOT NULL,
    "moving_y_kn" DOUBLE PRECISION NOT NULL,
    "moving_kn" DOUBLE PRECISION NOT NULL,
    "is_lower_bound" BOOLEAN NOT NULL,

    CONSTRAINT "commitment_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "audit_head" (
    "org_id" UUID NOT NULL,
    "seq" BIGINT NOT NULL DEFAULT 0,
    "hash" TEXT NOT NULL,

    CONSTRAINT "audit_head_pkey" PRIMARY KEY ("org_id")
);

-- CreateTable
CREATE TABLE "audit_entry" (
    "org_id" UUID NOT NULL,
    "seq" BIGINT NOT NULL,
    "at" TIMESTAMPTZ(3) NOT NULL,
    "body" TEXT NOT NULL,
    "prev_hash" TEXT NOT NULL,
    "hash" TEXT NOT NULL,

    CONSTRAINT "audit_entry_pkey" PRIMARY KEY ("org_id","seq")
);

-- CreateTable
CREATE TABLE "event" (
    "org_id" UUID NOT NULL,
    "seq" BIGINT NOT NULL,
    "at" TIMESTAMPTZ(3) NOT NULL,
    "type" TEXT NOT NULL,
    "subject_id" UUID NOT NULL,
    "body" TEXT NOT NULL,

    CONSTRAINT "event_pkey" PRIMARY KEY ("org_id","seq")
);

-- CreateTable
CREATE TABLE "idempotency_key" (
    "person_id" UUID NOT NULL,
    "org_id" TEXT NOT NULL,
    "route" TEXT NOT NULL,
    "key" TEXT NOT NULL,
    "body_hash" TEXT NOT NULL,
    "status" INTEGER NOT NULL,
    "response" TEXT NOT NULL,
    "created_at" TIMESTAMPTZ(3) NOT NULL,

    CONSTRAINT "idempotency_key_pkey" PRIMARY KEY ("person_id","org_id","route","key")
);

-- CreateIndex
CREATE UNIQUE INDEX "person_email_key" ON "person"("email");

-- CreateIndex
CREATE INDEX "membership_person_id_idx" ON "membership"("person_id");

-- CreateIndex
CREATE UNIQUE INDEX "invitation_token_hash_key" ON "invitation"("token_hash");

-- CreateIndex
CREATE INDEX "invitation_org_id_idx" ON "invitation"("org_id");

-- CreateIndex
CREATE UNIQUE INDEX "password_reset_token_hash_key" ON "password_reset"("token_hash");

-- CreateIndex
CREATE INDEX "session_person_id_idx" ON "session"("person_id");

-- CreateIndex
CREATE INDEX "refresh_token_session_id_idx" ON "refresh_token"("session_id");

-- CreateIndex
CREATE UNIQUE INDEX "api_key_key_hash_key" ON "api_key"("key_hash");

-- CreateIndex
CREATE INDEX "api_key_org_id_idx" ON "api_key"("org_id");

-- CreateIndex
CREATE INDEX "venue_venue_org_id_idx" ON "venue"("venue_org_id");

-- CreateIndex
CREATE INDEX "space_venue_id_idx" ON "space"("venue_id");

-- CreateIndex
CREATE UNIQUE INDEX "structure_item_space_id_kind_label_key_key" ON "structure_item"("space_id", "kind", "label_key");

-- CreateIndex
CREATE INDEX "import_file_space_id_idx" ON "import_file"("space_id");

-- CreateIndex
CREATE INDEX "space_access_tour_org_id_idx" ON "space_access"("tour_org_id");

-- CreateIndex
CREATE UNIQUE INDEX "space_access_space_id_tour_org_id_key" ON "space_access"("space_id", "tour_org_id");

-- CreateIndex
CREATE INDEX "production_tour_org_id_idx" ON "production"("tour_org_id");

-- CreateIndex
CREATE INDEX "show_production_id_idx" ON "show"("production_id");

-- CreateIndex
CREATE INDEX "show_space_id_idx" ON "show"("space_id");

-- CreateIndex
CREATE UNIQUE INDEX "proposal_commitment_ref_key" ON "proposal"("commitment_ref");

-- CreateIndex
CREATE INDEX "proposal_show_id_idx" ON "proposal"("show_id");

-- CreateIndex
CREATE INDEX "proposal_space_id_starts_at_idx" ON "proposal"("space_id", "starts_at");

-- CreateIndex
CREATE INDEX "proposal_tour_org_id_idx" ON "proposal"("tour_org_id");

-- CreateIndex
CREATE INDEX "plan_submission_space_id_revision_number_idx" ON "plan_submission"("space_id", "revision_number");

-- CreateIndex
CREATE UNIQUE INDEX "assessment_proposal_id_sequence_key" ON "assessment"("proposal_id", "sequence");

-- CreateIndex
CREATE UNIQUE INDEX "decision_proposal_id_sequence_key" ON "decision"("proposal_id", "sequence");

-- CreateIndex
CREATE INDEX "check_override_proposal_id_idx" ON "check_override"("proposal_id");

-- CreateIndex
CREATE INDEX "comment_proposal_id_idx" ON "comment"("proposal_id");

-- CreateIndex
CREATE INDEX "commitment_space_id_from_at_to_at_idx" ON "commitment"("space_id", "from_at", "to_at");

-- CreateIndex
CREATE INDEX "commitment_ref_idx" ON "commitment"("ref");

-- CreateIndex
CREATE INDEX "idempotency_key_created_at_idx" ON "idempotency_key"("created_at");
